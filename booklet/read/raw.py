"""The types of a length as written: text such as "5 1/8", or a bare number.

In: nothing. Out: the aliases `Raw` and `Length`, which the tables hold and the measure stage
turns into exact millimetres.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TypeAlias

from booklet.problem import Written

Raw: TypeAlias = str | int | Decimal
Length: TypeAlias = Written[Raw]
