"""The trade's mathematics: values in, values out. Standard library only; opens nothing."""
