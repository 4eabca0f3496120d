"""What a shop owns and allows: records, their files, the outlines of tools."""
