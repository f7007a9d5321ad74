"""Single parts seen close to, each a small picture that names what a fitter names."""
