/* Registers the worker that keeps the site for a place without a network, and says at the head of a
 * page when what is shown is a copy, or when a newer version is there. It never reloads a page:
 * what was typed stays. */
(function () {
  'use strict';
  var Bench = (window.Bench = window.Bench || {});
  var worker = navigator.serviceWorker,
    root = new URL('..', document.currentScript.src);
  // Opened as a file, or from a host without encryption, a page has no worker; it works without
  // one.
  if (!/^https?:$/.test(location.protocol) || !worker || !window.caches) return;

  [
    ['manifest', 'manifest.webmanifest'],
    ['apple-touch-icon', 'assets/icon.png'],
  ].forEach(function (one) {
    var link = document.createElement('link');
    link.rel = one[0];
    link.href = new URL(one[1], root).href;
    document.head.append(link);
  });

  if (Bench.serving) {
    // while pages are being written, none may come from a copy
    worker
      .getRegistration()
      .then(function (old) {
        [old && old.waiting, old && old.active].forEach(function (one) {
          if (one && one.scriptURL === old.scope + 'sw.js') one.postMessage({ ask: 'leave' });
        });
      })
      .catch(function () {});
    return;
  }

  var mine,
    of,
    copied,
    line,
    heard,
    registration,
    looked = 0,
    controlled = !!worker.controller;

  // The newest worker answers: browsers may leave it waiting for minutes though it asked to take
  // over. Only the one that gave the page knows from where it was.
  function ask(what) {
    return new Promise(function (resolve) {
      var newest = registration && (registration.waiting || registration.active),
        channel = new MessageChannel();
      var to = (what !== 'mine' && newest) || worker.controller;
      channel.port1.onmessage = function (event) {
        resolve(event.data);
      };
      if (to) to.postMessage({ ask: what, page: location.href }, [channel.port2]);
      else resolve({});
    });
  }

  function say(text) {
    if (!line && text) {
      line = document.createElement('p');
      line.className = 'copy';
      line.setAttribute('role', 'status');
      var head = document.querySelector('article') || document.body;
      head.insertBefore(line, head.firstChild);
    }
    // Later, since a status is only read out when it changes.
    if (line)
      setTimeout(function () {
        line.textContent = text;
      }, 50);
  }

  function local(text) {
    var at = new Date(text),
      two = function (number) {
        return String(number).padStart(2, '0');
      };
    return (
      at.getFullYear() +
      '-' +
      two(at.getMonth() + 1) +
      '-' +
      two(at.getDate()) +
      ' ' +
      two(at.getHours()) +
      ':' +
      two(at.getMinutes())
    );
  }

  // The digest of this page as the network has it now.
  function now(digest) {
    if (!digest) return;
    mine = mine || digest;
    say(digest === mine ? '' : 'A newer version of this page is here: reload when it suits');
  }

  function look() {
    looked = Date.now();
    return ask('ahead')
      .then(function () {
        return ask('check');
      })
      .then(function (reply) {
        now(reply.digest);
      });
  }
  Bench.offline = { look: look };

  function update() {
    if (registration) registration.update().catch(function () {});
  }

  worker.addEventListener('message', function (event) {
    heard = event.data || {};
    if (mine && heard.of === of) now(heard.digest);
  });
  worker.startMessages();
  worker.addEventListener('controllerchange', function () {
    if (controlled) look();
    controlled = true;
  });
  addEventListener('online', function () {
    update();
    look();
  });
  document.addEventListener('visibilitychange', function () {
    if (document.visibilityState === 'visible' && Date.now() - looked > (copied ? 5000 : 600000)) {
      update();
      look();
    }
  });

  var known = controlled
    ? ask('mine').then(function (reply) {
        mine = reply.digest;
        of = reply.of;
        copied = reply.copied;
        if (copied) say(reply.why + ': this copy is from ' + local(copied));
        if (mine && heard && heard.of === of) now(heard.digest);
      })
    : Promise.resolve();

  function start() {
    worker
      .register(new URL('sw.js', root).href, { updateViaCache: 'none' })
      .then(function () {
        return worker.ready;
      })
      .then(function (ready) {
        registration = ready;
        registration.addEventListener('updatefound', function () {
          var next = registration.installing;
          if (next)
            next.addEventListener('statechange', function () {
              if (next.state === 'installed') look();
            });
        });
        return known;
      })
      .then(function () {
        looked = Date.now();
        return mine ? {} : ask('check');
      })
      .then(function (reply) {
        of = reply.of || of;
        now(reply.digest);
        return ask('ahead');
      })
      .catch(function () {});
  }
  addEventListener('load', function () {
    if (window.requestIdleCallback) requestIdleCallback(start, { timeout: 1000 });
    else setTimeout(start, 500);
  });
})();
