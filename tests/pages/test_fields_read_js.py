"""Which parts of a page follow a key, and when."""

import pytest

from builder.pages.page_text import lean

pytestmark = pytest.mark.browser


def test_a_part_that_fails_keeps_no_other_from_its_turn(browser):
    """What is put off until behind the frame comes there, now and with later keys, though a part
    before it fails each time."""
    page = browser.new_page()
    page.add_script_tag(content=lean("after_paint.js") + lean("fields_read.js"))
    said = page.evaluate("""async () => {
      const fields = Bench.fieldsOf(new Map([['a', 1]]));
      const ran = [];
      let fails = false;
      const broken = () => { fields.get('a'); if (fails) throw new Error('on purpose'); };
      const whole = () => { ran.push(fields.get('a')); };
      broken.follows = whole.follows = true;
      Bench.run([broken, whole]);
      fails = true;
      for (const value of [2, 3]) {
        fields.set('a', value);
        Bench.run([broken, whole], 'a', true);
        await new Promise(done => setTimeout(done, 600));
      }
      return ran;
    }""")
    page.close()
    assert said == [1, 2, 3]
