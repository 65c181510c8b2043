"""What was printed, and which of it no longer says what the files say."""
