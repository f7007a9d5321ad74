"""Cells that compute, run where they can do no harm: in goes program text, out come plain values, never a verdict."""
