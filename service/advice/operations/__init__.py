"""What can be asked of advice, and done with what it keeps."""
