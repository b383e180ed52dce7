"""The pantry."""
