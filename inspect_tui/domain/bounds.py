"""Bounds of what a record may hold: wide for any boat, narrow for any file of a stranger."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, ValidationError

# Wider than any boat and any instrument, and narrow enough that no sum or drawing of them runs away.
MOST = 1e12
Positive = Annotated[float, Field(ge=1 / MOST, le=MOST, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, le=MOST, allow_inf_nan=False)]
Finite = Annotated[float, Field(ge=-MOST, le=MOST, allow_inf_nan=False)]
Whole = Annotated[int, Field(ge=0, le=10**9)]
HullMetres = Annotated[float, Field(ge=0.05, le=500)]
FrameSpacing = Annotated[float, Field(ge=10, le=20_000)]
AlongHullMm = Annotated[float, Field(ge=-500_000, le=500_000)]
ExtentMm = Annotated[float, Field(ge=0.001, le=500_000)]
FrameNumber = Annotated[float, Field(ge=-10_000, le=10_000)]
Percent = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]


def first_fault(error: ValidationError) -> str:
    """Where the first fault of a record lies, and what it is."""
    first = error.errors()[0]
    return f"{'.'.join(str(part) for part in first['loc']) or 'it'}: {first['msg']}"
