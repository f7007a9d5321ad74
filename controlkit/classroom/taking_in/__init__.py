"""What comes back from a class: notebooks that nobody trusts become answers as data."""
