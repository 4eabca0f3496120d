"""Data that comes with the program: tables with their sources, the demo shop, type faces."""
