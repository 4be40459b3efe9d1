"""Rules across fields and files. Each rule adds problems with the place that they belong to."""

from builder.file_rules.meters import meter
from builder.file_rules.plans import plan
from builder.file_rules.saying import nearest
from builder.file_rules.standards import standard

__all__ = ["meter", "nearest", "plan", "standard"]
