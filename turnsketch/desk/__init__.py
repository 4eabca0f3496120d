"""The desk: the only package that may import Qt."""
