"""The page: pictures as plain data, and where on it everything stands."""
