"""Pictures that the panel alone draws."""
