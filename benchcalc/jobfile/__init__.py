"""Files to values and back: jobs, profiles, materials, sensors, points."""
