"""The open document: job files, the door that checks them, their mark and schema."""
