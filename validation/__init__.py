"""Decides whether a record can be trusted; what trusted records show is for the models."""
