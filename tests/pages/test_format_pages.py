"""The pages about the files of a workshop."""

import re

from builder.formats import reference, schemas
from builder.pages import format_pages


def test_every_key_of_every_file_is_on_a_page():
    """Once a group, with links that lead to the groups; and no raw block holds a blank line."""
    pages = format_pages.pages()
    text = "".join(pages.values())
    for kind in schemas.FILES:
        for group in reference.groups(kind):
            (table,) = re.findall(rf'<h3 id="{group.name.lower()}">.*?</table>', text, re.S)
            assert re.findall(r'<tr><td class="on"><code>([^<]+)</code>', table) == [
                one.name for one in group.keys]
            assert "\n\n" not in table
    for page in pages.values():
        for target in re.findall(r'href="#(\w+)"', page):
            assert f'id="{target}"' in page
    for name in re.findall(r"\]\((formats/\w+\.md)\)", pages["formats.md"]):
        assert name in pages
    assert len(re.findall(r"\]\(formats/", pages["formats.md"])) == len(pages) - 1
