"""One small function per finding."""
