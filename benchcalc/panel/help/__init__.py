"""The panel's help: a page for each screen and step, with its picture."""
