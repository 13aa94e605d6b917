"""What screens are laid out with: keys, fields, pages, sizes."""
