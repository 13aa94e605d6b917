"""The user interface as values: model, messages, update, view. No pygame, no clock, no files."""
