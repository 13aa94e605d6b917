"""The screen: its window, painting scenes on it, and what the screen says of itself."""
