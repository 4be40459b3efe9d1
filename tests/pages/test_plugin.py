"""The settings of the plugin in mkdocs.yml."""

import pytest

from builder.pages.plugin import ProceduresConfig


@pytest.mark.parametrize("settings, wrong", [
    ({}, []), ({"folder": "procedures"}, []),
    ({"folder": "../shopdata"},
     ["Expected one of: ('procedures',) but received: '../shopdata'"])])
def test_the_site_is_made_of_what_every_other_command_reads(settings, wrong):
    """A folder elsewhere was built while 'check' and 'limits' went on reading procedures/."""
    config = ProceduresConfig()
    config.load_dict(settings)
    errors, _ = config.validate()
    assert [str(error) for _, error in errors] == wrong and config.folder
