"""What a sheet says, as text, JSON and picture, for commands and panel alike."""
