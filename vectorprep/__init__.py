"""vectorprep."""
