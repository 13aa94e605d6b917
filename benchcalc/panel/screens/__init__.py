"""One module a screen: what it shows (``view``) and what a tap on it does (``act``)."""
