"""One thin file a command; nothing here computes."""
