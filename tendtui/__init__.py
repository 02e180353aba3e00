"""Tend a small recirculating hydroponic rack in two minutes a day."""

__all__ = ["__version__"]

__version__ = "0.1.0"
