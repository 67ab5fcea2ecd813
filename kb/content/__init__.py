"""Articles: read from text files, checked, and rendered as HTML or plain text."""
