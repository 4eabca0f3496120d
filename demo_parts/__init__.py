"""Job files of one invented boatyard."""
