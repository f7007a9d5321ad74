"""What several exercises do alike."""
