"""The angle sensor without its wire: bytes and times in, events and decisions out."""
