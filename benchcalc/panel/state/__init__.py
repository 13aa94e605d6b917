"""The panel's state as frozen values, and what changes it."""
