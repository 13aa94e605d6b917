"""What a bench is told beside the bends it makes: checks of its gauges, bends made before."""
