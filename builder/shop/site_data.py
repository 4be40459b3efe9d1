"""What a shop has pages of, as data."""

from __future__ import annotations

from builder.formats.site_data import SiteData
from builder.shop.contents import Shop
from builder.shop.missing import PAGES, MissingFile, whole


def site_data(shop: Shop, absent: list[MissingFile]) -> SiteData:
    """`absent` are the files that have only a page which says why they are missing."""
    has = {"meters": shop.functions, "standards": whole(shop, "standards"),
           "procedures": {*shop.procedures, *shop.approvals.procedures},
           "reports": {*shop.records, *shop.finished.numbers}}
    named = {folder: {*has[folder], *(one.name for one in absent
                                      if PAGES[one.kind] == folder and one.page)}
             for folder in has}
    wrong = len(set(shop.errors))
    return SiteData(format=1, **{folder: tuple(sorted(names)) for folder, names in named.items()},
                    missing=tuple(sorted(one.page for one in absent if one.page)), errors=wrong,
                    warnings=len(set(shop.problems)) - wrong)
