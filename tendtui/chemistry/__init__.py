"""The water model behind the dose: pH, alkalinity, conductivity and what falls out."""

from tendtui.chemistry.solution import Solution, mix

__all__ = ["Solution", "mix"]
