"""The wearer, with everything that is worn."""
