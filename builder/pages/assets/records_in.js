/* Takes in records that another device handed over, as files or from the system's share sheet,
 * which the worker keeps until this page asks. */
(function () {
  'use strict';
  const { store, record, lock, make } = Bench;
  const SHARED = 'bench-shared';

  const said = make('ul', { class: 'taken-in', role: 'status' });
  const input = make('input', {
    type: 'file',
    multiple: true,
    accept: '.json,.txt,application/json,text/plain',
  });
  input.addEventListener('change', async () => {
    await takeIn([...input.files]);
    input.value = '';
  });
  const isSafe = window.isSecureContext && location.protocol !== 'file:';
  document
    .getElementById('records')
    .before(
      make('label', { class: 'take-in' }, 'Take in a record that was handed over ', input),
      isSafe ? '' : make('p', { class: 'needs' },
        'To be installed, to work without a network and to share records this page needs an ' +
          'address with https.'),
      said,
    );

  async function takeIn(files) {
    for (const file of files) {
      const words = await takeInOne(await file.text()).catch(() => 'could not be kept here');
      said.append(make('li', {}, `${file.name} ${words}.`));
    }
    await lock.refresh();
    Bench.records.list();
  }

  async function takeInOne(content) {
    const taken = record.takenIn(content);
    if (taken.wrong) return taken.wrong;
    const here = await store.get(taken.record.id);
    if (!here) {
      store.put(taken.record, taken.fields);
      return `is taken in: ${record.calledSoFar(taken)}`;
    }
    const fields = record.together(here.record.data, here.fields, taken.fields);
    const changed = [...fields].filter(([name, one]) => here.fields.get(name) !== one);
    store.put(here.record, new Map(changed));
    if (record.text(fields, 'deleted')) store.set(here.record.id, 'deleted', '');
    return `is put together with what is here: ${record.calledSoFar({ ...here, fields })}`;
  }

  /** What the share sheet gave the worker. */
  async function shared() {
    if (!window.caches || !/[#&]shared/.test(location.hash)) return;
    const kept = await caches.open(SHARED);
    const files = [];
    for (const request of await kept.keys()) {
      const name = decodeURIComponent(new URL(request.url).searchParams.get('name') || 'record');
      const content = await (await kept.match(request)).blob();
      files.push(new File([content], name));
      await kept.delete(request);
    }
    history.replaceState(null, '', location.pathname);
    await takeIn(files);
  }
  shared().catch(() => {});
})();
