"""Rules across fields and files. Each rule adds problems with the place that they belong to."""

from builder.check.meters import meter
from builder.check.plans import plan
from builder.check.rules import nearest
from builder.check.standards import standard

__all__ = ["meter", "nearest", "plan", "standard"]
