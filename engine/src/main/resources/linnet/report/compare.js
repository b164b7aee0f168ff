'use strict';
(() => {
  const data = JSON.parse(document.getElementById('data').textContent);
  const versions = data.versions;
  const find = id => document.getElementById(id);
  const all = selector => [...document.querySelectorAll(selector)];

  // ---- sound ---------------------------------------------------------------------------------------------------------

  /** Long enough to be no click, short enough to be no gap. */
  const FADE = 0.005;
  /** Time for the browser to set up a run before it sounds. */
  const LEAD = 0.03;

  function decode(element) {
    const bytes = atob(element.textContent);
    element.remove();
    const samples = new Float32Array(bytes.length / 2);
    for (let i = 0; i < samples.length; i++) {
      samples[i] = ((bytes.charCodeAt(2 * i) | bytes.charCodeAt(2 * i + 1) << 8) << 16 >> 16) / 32768;
    }
    return samples;
  }

  const sounds = versions.map((v, i) => Array.from({ length: v.channels }, (_, c) => decode(find(`sound-${i}-${c}`))));

  /** Plays all versions in step; which one is heard is a matter of gains alone, so the position is common to all. */
  const player = {
    context: null, master: null, buffers: null, run: null,
    heard: 0, at: 0, loop: null, volumeDb: -26, dips: false,
    onend: () => {},

    open(context = new AudioContext({ sampleRate: data.rate })) {
      this.context = context;
      this.master = this.context.createGain();
      this.master.gain.value = this.volume();
      this.master.connect(this.context.destination);
      this.buffers = sounds.map(channels => {
        const buffer = this.context.createBuffer(channels.length, data.frames, data.rate);
        channels.forEach((samples, c) => buffer.copyToChannel(samples, c));
        return buffer;
      });
      this.mend(this.loop);
    },

    volume() {
      return this.volumeDb <= -60 ? 0 : 10 ** (this.volumeDb / 20) / data.scale;
    },

    setVolume(db) {
      this.volumeDb = db;
      if (this.master) this.master.gain.setTargetAtTime(this.volume(), this.context.currentTime, 0.02);
    },

    /** The sample that plays now, the same in every version. */
    position() {
      if (!this.run) return this.at;
      const { time, frame, loop } = this.run;
      const now = frame + Math.max(0, this.context.currentTime - time) * data.rate;
      if (loop && frame < loop.to && now >= loop.to) return Math.floor(loop.from + (now - loop.from) % (loop.to - loop.from));
      return Math.min(data.frames, Math.floor(now));
    },

    play() {
      if (!this.context) this.open();
      this.context.resume();
      if (!this.run) this.start(this.at >= data.frames ? 0 : this.at);
    },

    start(frame) {
      const { context, loop } = this;
      if (loop && (frame < loop.from || frame >= loop.to)) frame = loop.from;
      // On the grid of samples, so that none is interpolated.
      const time = Math.ceil((context.currentTime + LEAD) * context.sampleRate) / context.sampleRate;
      const fade = context.createGain();
      fade.gain.setValueAtTime(0, context.currentTime);
      fade.gain.setValueAtTime(0, time);
      fade.gain.linearRampToValueAtTime(1, time + FADE);
      fade.connect(this.master);
      const sources = [], gains = [];
      this.buffers.forEach((buffer, i) => {
        const source = context.createBufferSource(), gain = context.createGain();
        source.buffer = buffer;
        if (loop) {
          source.loop = true;
          source.loopStart = loop.from / data.rate;
          source.loopEnd = loop.to / data.rate;
        }
        gain.gain.value = i === this.heard ? 1 : 0;
        source.connect(gain).connect(fade);
        source.start(time, frame / data.rate);
        sources.push(source);
        gains.push(gain);
      });
      const run = { time, frame, loop, fade, sources, gains };
      sources[0].onended = () => {
        if (this.run !== run) return;
        this.run = null;
        this.at = 0;
        this.onend();
      };
      this.run = run;
    },

    /** Fades the run out where it is. */
    stop() {
      if (!this.run) return;
      const { fade, sources } = this.run, now = this.context.currentTime;
      this.at = this.position();
      this.run = null;
      this.ramp(fade.gain, 0, now);
      sources.forEach(source => source.stop(now + 2 * FADE));
    },

    ramp(parameter, to, time) {
      const value = parameter.value;
      parameter.cancelScheduledValues(time);
      parameter.setValueAtTime(value, time);
      parameter.linearRampToValueAtTime(to, time + FADE);
    },

    seek(frame) {
      frame = Math.max(0, Math.min(data.frames - 1, Math.round(frame)));
      const playing = this.run !== null;
      this.stop();
      this.at = frame;
      if (playing) this.start(frame);
    },

    /**
     * Two gains that add up to one: where versions are alike nothing changes. In the blind test each switch, to the same
     * version too, goes through a short silence instead, so that the switch itself tells nothing.
     */
    hear(version) {
      this.heard = version;
      if (!this.run) return;
      const { fade, gains } = this.run, now = this.context.currentTime;
      if (this.dips) {
        this.ramp(fade.gain, 0, now);
        gains.forEach((gain, i) => {
          gain.gain.cancelScheduledValues(now);
          gain.gain.setValueAtTime(i === version ? 1 : 0, now + FADE);
        });
        fade.gain.linearRampToValueAtTime(1, now + 2 * FADE);
      } else {
        gains.forEach((gain, i) => this.ramp(gain.gain, i === version ? 1 : 0, now));
      }
    },

    setLoop(loop) {
      const at = this.position(), playing = this.run !== null;
      this.stop();
      if (this.buffers) this.mend(loop);
      this.loop = loop;
      this.at = at;
      if (playing) this.start(at);
    },

    /** The end of a loop is led into what comes before its beginning, so that the jump is no click. */
    mend(loop) {
      const length = loop ? Math.min(Math.round(FADE * data.rate), Math.floor((loop.to - loop.from) / 2)) : 0;
      this.buffers.forEach((buffer, i) => sounds[i].forEach((samples, c) => {
        if (this.loop) buffer.copyToChannel(samples.subarray(Math.max(0, this.loop.to - Math.round(FADE * data.rate)), this.loop.to), c, Math.max(0, this.loop.to - Math.round(FADE * data.rate)));
        if (!loop) return;
        const tail = samples.slice(loop.to - length, loop.to);
        for (let k = 0; k < length; k++) {
          const before = loop.from - length + k, share = (k + 1) / length;
          tail[k] = tail[k] * (1 - share) + (before >= 0 ? samples[before] : 0) * share;
        }
        buffer.copyToChannel(tail, c, loop.to - length);
      }));
    },
  };

  // ---- words ---------------------------------------------------------------------------------------------------------

  const clock = frame => {
    const tenths = Math.floor((frame / data.rate + data.from) * 10);
    return `${Math.floor(tenths / 600)}:${String(Math.floor(tenths / 10) % 60).padStart(2, '0')}.${tenths % 10}`;
  };
  const short = name => [...name].length > 60 ? [...name].slice(0, 60).join('') + '…' : name;
  /** Isolates of Unicode around a name, so that its direction of writing ends with it. */
  const called = i => `${i + 1}, \u2068${short(versions[i].name)}\u2069`;
  const say = text => { find('status').textContent = text; };

  // ---- pictures ------------------------------------------------------------------------------------------------------

  const dark = matchMedia('(prefers-color-scheme: dark)');
  let printing = false;
  const isDark = () => dark.matches && !printing;
  const colour = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const pictures = versions.map(v => Uint8Array.from(atob(v.picture), c => c.charCodeAt(0)));
  const loudestLevel = pictures.reduce((most, p) => p.reduce((m, x) => Math.max(m, x), most), 1);
  /** What is shown below the loudest place. */
  const SHOWN_DB = 72;
  const DIFFERENCE_DB = 18;

  function sized(canvas) {
    const box = canvas.getBoundingClientRect(), ratio = window.devicePixelRatio || 1;
    canvas.width = Math.max(1, Math.round(box.width * ratio));
    canvas.height = Math.max(1, Math.round(box.height * ratio));
    return canvas.getContext('2d');
  }

  const highest = sounds.flat().reduce((most, x) => x.reduce((m, v) => Math.max(m, Math.abs(v)), most), 1e-9);

  /** In the blind test the waveform is that of both versions laid over each other, so it tells nothing. */
  function drawOverview() {
    const canvas = find('overview').querySelector('canvas');
    const g = sized(canvas), width = canvas.width, middle = canvas.height / 2;
    const shown = test.on ? test.pair : [player.heard];
    g.fillStyle = colour(test.on ? '--soft' : '--main');
    for (let column = 0; column < width; column++) {
      const from = Math.floor(column * data.frames / width), to = Math.max(from + 1, Math.floor((column + 1) * data.frames / width));
      let low = 0, high = 0;
      for (const v of shown) for (const x of sounds[v]) {
        for (let i = from; i < to && i < x.length; i++) {
          if (x[i] < low) low = x[i];
          if (x[i] > high) high = x[i];
        }
      }
      const top = middle - high / highest * middle * 0.94, bottom = middle - low / highest * middle * 0.94;
      g.fillRect(column, top, 1, Math.max(1, bottom - top));
    }
  }

  const ramp = hex => Array.from({ length: 256 }, (_, i) => parseInt(hex.slice(6 * i, 6 * i + 6), 16));

  function paint(canvas, colours, at) {
    const { columns, rows } = data.picture;
    canvas.width = columns;
    canvas.height = rows;
    const g = canvas.getContext('2d'), image = g.createImageData(columns, rows);
    for (let i = 0; i < columns * rows; i++) {
      const rgb = colours[Math.max(0, Math.min(255, Math.round(at(i))))];
      image.data.set([rgb >> 16, rgb >> 8 & 255, rgb & 255, 255], 4 * i);
    }
    g.putImageData(image, 0, 0);
  }

  /** Lines at some frequencies, over a picture that is even by ratio. */
  function drawLines() {
    const { lowestHz, highestHz } = data.picture;
    all('.lines').forEach(lines => lines.replaceChildren(...[100, 300, 1000, 3000, 10000].filter(v => v < 0.9 * highestHz).map(v => {
      const line = document.createElement('span'), label = document.createElement('b');
      line.style.top = `${100 * (1 - Math.log(v / lowestHz) / Math.log(highestHz / lowestHz))}%`;
      label.textContent = hz(v);
      line.append(label);
      return line;
    })));
  }

  function drawSpectrograms() {
    const { stepDb, lowestHz, highestHz } = data.picture;
    const heard = pictures[player.heard], other = pictures[reference()];
    const from = loudestLevel - SHOWN_DB / stepDb, span = loudestLevel - from;
    const one = find('spectrogram').querySelector('canvas');
    paint(one, ramp(isDark() ? data.ramps.onDark : data.ramps.onLight), i => (heard[i] - from) / span * 255);
    one.setAttribute('aria-label', `Spectrogram of version ${called(player.heard)}: time from left to right, ${hz(lowestHz)} to ${hz(highestHz)} from bottom to top, the strongest ${SHOWN_DB} dB`);
    const two = find('spectrogram-difference').querySelector('canvas');
    const difference = ramp(isDark() ? data.ramps.differenceOnDark : data.ramps.differenceOnLight);
    // Below what is shown there is no difference to show.
    paint(two, difference, i => 127.5 + (Math.max(heard[i], from) - Math.max(other[i], from)) * stepDb / DIFFERENCE_DB * 127.5);
    two.setAttribute('aria-label', `Difference of the spectrograms of version ${called(player.heard)} less ${called(reference())}`);
    all('.differs').forEach(e => { e.hidden = player.heard === reference(); });
    let loud = 0, moved = 0;
    for (let i = 0; i < heard.length; i++) {
      if (Math.max(heard[i], other[i]) <= from) continue;
      loud++;
      if (Math.abs(heard[i] - other[i]) * stepDb > 3) moved++;
    }
    find('difference-text').textContent = `${Math.round(100 * moved / Math.max(1, loud))} % of the places that sound in either differ by more than 3 dB. Blue is less, amber is more.`;
    const scale = find('difference-scale');
    scale.width = 256;
    scale.height = 1;
    const g = scale.getContext('2d'), image = g.createImageData(256, 1);
    difference.forEach((rgb, i) => image.data.set([rgb >> 16, rgb >> 8 & 255, rgb & 255, 255], 4 * i));
    g.putImageData(image, 0, 0);
  }

  const hz = v => v >= 1000 ? `${+(v / 1000).toFixed(1)} kHz` : `${Math.round(v)} Hz`;
  const reference = () => Number(find('reference').value);

  function draw(kind, parent, attributes, text) {
    const element = document.createElementNS('http://www.w3.org/2000/svg', kind);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    if (text !== undefined) element.textContent = text;
    parent.append(element);
    return element;
  }

  /** Lines over a common axis; a series is { x, y, role }. */
  function plot(svg, series, { x, y, log, unit }) {
    svg.replaceChildren();
    const width = svg.clientWidth, height = svg.clientHeight;
    if (width < 50) return;
    const left = 44, right = width - 8, top = 8, bottom = height - 26;
    const place = v => left + (right - left) * (log ? Math.log(v / x[0]) / Math.log(x[1] / x[0]) : (v - x[0]) / (x[1] - x[0]));
    const rise = v => bottom - (bottom - top) * (Math.max(y[0], Math.min(y[1], v)) - y[0]) / (y[1] - y[0]);
    const step = [1, 2, 3, 6, 12, 20, 30].find(s => (y[1] - y[0]) / s <= 8) || 40;
    for (let v = Math.ceil(y[0] / step) * step; v <= y[1]; v += step) {
      draw('line', svg, { class: v === 0 && y[0] < 0 && y[1] > 0 ? 'zero' : 'grid', x1: left, x2: right, y1: rise(v), y2: rise(v) });
      draw('text', svg, { x: left - 6, y: rise(v) + 4, 'text-anchor': 'end' }, String(v).replace('-', '−'));
    }
    const ticks = log ? [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000] : Array.from({ length: 9 }, (_, i) => -80 + 10 * i);
    let free = -Infinity;
    for (const v of ticks.filter(v => v >= x[0] && v <= x[1])) {
      const at = place(v);
      draw('line', svg, { class: 'grid', x1: at, x2: at, y1: top, y2: bottom });
      if (at - free < 46) continue;
      free = at;
      draw('text', svg, { x: Math.min(at, right - 14), y: bottom + 18, 'text-anchor': 'middle' }, log ? hz(v) : String(v).replace('-', '−'));
    }
    draw('text', svg, { x: left + 6, y: top + 14 }, unit);
    for (const s of series) {
      let path = '', pen = 'M';
      s.x.forEach((v, i) => {
        if (s.y[i] === null) { pen = 'M'; return; }
        path += `${pen}${place(v).toFixed(1)} ${rise(s.y[i]).toFixed(1)}`;
        pen = 'L';
      });
      if (s.area) draw('path', svg, { class: 'area', d: `${path}L${place(s.x[s.x.length - 1])} ${rise(0)}L${place(s.x[0])} ${rise(0)}Z` });
      draw('path', svg, { class: s.role, d: path });
      if (s.mark) draw('text', svg, { x: place(s.x[s.mark.at]), y: rise(s.y[s.mark.at]) - 4, 'text-anchor': 'middle' }, s.mark.text);
    }
  }

  function drawPlots() {
    const x = data.bandsHz, span = [x[0], x[x.length - 1]];
    const heard = versions[player.heard].bandsDb, other = versions[reference()].bandsDb;
    const levels = versions.flatMap(v => v.bandsDb).filter(v => v !== null);
    const high = levels.length ? 6 * Math.ceil(Math.max(...levels) / 6) : 0;
    const low = levels.length ? Math.max(high - 72, 6 * Math.floor(Math.min(...levels) / 6)) : -72;
    plot(find('spectrum'), [{ x, y: other, role: 'reference' }, { x, y: heard, role: 'heard' }], { x: span, y: [low, high], log: true, unit: 'dBFS' });
    const floor = low - 6;
    const less = x.map((_, k) => heard[k] === null || other[k] === null ? null : Math.max(heard[k], floor) - Math.max(other[k], floor));
    const far = Math.max(6, 3 * Math.ceil(Math.max(...less.map(v => Math.abs(v || 0))) / 3));
    plot(find('difference'), [{ x, y: less, role: 'heard', area: true }], { x: span, y: [-far, far], log: true, unit: 'dB' });
    find('spectrum-text').textContent = player.heard === reference()
      ? `Full line: version ${called(player.heard)}. Hear another version, or compare with another, to see how they differ.`
      : `Full line: version ${called(player.heard)}. Broken line: ${called(reference())}. ${widest(x, less)}`;
    if (versions.some(v => v.curves.length)) drawCurves();
  }

  function widest(x, less) {
    let k = 0;
    less.forEach((v, i) => { if (Math.abs(v || 0) > Math.abs(less[k] || 0)) k = i; });
    if (Math.abs(less[k] || 0) < 0.1) return 'They are alike within 0.1 dB in every band.';
    return `They differ most at ${hz(x[k])}, by ${less[k] > 0 ? '+' : '−'}${Math.abs(less[k]).toFixed(1)} dB.`;
  }

  function drawCurves() {
    const response = versions.flatMap(v => v.curves)[0].axis === 'frequency';
    const series = [];
    const strong = versions[player.heard].curves;
    /** Where two curves lie farthest apart, inside the picture. */
    const apart = (y, other) => y.reduce((best, v, i) => Math.abs(v - other[i]) > Math.abs(y[best] - other[best]) && v > -48 ? i : best, 0);
    versions.forEach((v, i) => {
      if (i === player.heard) return;
      v.curves.forEach((c, k) => series.push({ x: c.x, y: c.y, role: 'other', mark: strong[k] && { at: apart(c.y, strong[k].y), text: String(i + 1) } }));
    });
    strong.forEach(c => series.push({ x: c.x, y: c.y, role: 'heard' }));
    const y = series.flatMap(s => s.y);
    const span = response ? [Math.max(-48, Math.min(-6, 6 * Math.floor(Math.min(...y) / 6))), Math.max(6, 6 * Math.ceil(Math.max(...y) / 6))] : [-80, 0];
    const x = series[0].x;
    plot(find('curves'), series, { x: [x[0], x[x.length - 1]], y: span, log: response, unit: response ? 'gain, dB' : 'level out over level in, dBFS' });
  }

  function drawAll() {
    drawOverview();
    if (test.on) return;
    drawSpectrograms();
    drawPlots();
  }

  function follow() {
    const at = player.position(), share = 100 * at / data.frames;
    all('.cursor').forEach(c => { c.style.left = `${share}%`; });
    find('time').textContent = clock(at);
    const slider = find('position');
    slider.value = String(Math.round(1000 * at / data.frames));
    slider.setAttribute('aria-valuetext', clock(at));
  }

  const calm = matchMedia('(prefers-reduced-motion: reduce)');
  let last = 0;
  function tick(now) {
    if (!calm.matches || now - last > 250) {
      last = now;
      follow();
    }
    if (player.run) requestAnimationFrame(tick);
  }

  // ---- controls ------------------------------------------------------------------------------------------------------

  function toggle() {
    if (player.run) player.stop();
    else player.play();
    shown();
    requestAnimationFrame(tick);
  }

  function shown() {
    find('play').textContent = player.run ? 'Pause' : 'Play';
    const { loop } = player;
    find('loop').checked = loop !== null;
    find('loop-text').textContent = loop ? `${clock(loop.from)} to ${clock(loop.to)}` : '';
    const region = find('overview').querySelector('.region');
    region.style.display = loop ? 'block' : 'none';
    if (loop) {
      region.style.left = `${100 * loop.from / data.frames}%`;
      region.style.width = `${100 * (loop.to - loop.from) / data.frames}%`;
    }
    follow();
  }

  function choose(i) {
    if (i < 0 || i >= versions.length || test.on) return;
    player.hear(i);
    all('.version').forEach(b => b.setAttribute('aria-pressed', String(Number(b.dataset.version) === i)));
    all('.heard-text').forEach(e => { e.textContent = called(i); });
    all('.reference-text').forEach(e => { e.textContent = called(reference()); });
    say(`Version ${called(i)}`);
    drawAll();
  }

  /** Shorter loops would be a tone of their own. */
  const SHORTEST = Math.round(0.05 * data.rate);

  function loop(from, to) {
    from = Math.max(0, Math.round(from));
    to = Math.min(data.frames, Math.round(to));
    if (to - from < SHORTEST) return say('A loop is 0.05 seconds or longer.');
    player.setLoop({ from, to });
    shown();
    say(`Loop from ${clock(from)} to ${clock(to)}`);
  }

  function loopOnOff(on) {
    if (on) return loop(lastLoop ? lastLoop.from : 0, lastLoop ? lastLoop.to : data.frames);
    lastLoop = player.loop;
    player.setLoop(null);
    shown();
    say('Loop off');
  }
  let lastLoop = null;

  const beginLoop = () => loop(player.position(), player.loop && player.loop.to - player.position() >= SHORTEST ? player.loop.to : data.frames);
  const endLoop = () => loop(player.loop && player.position() - player.loop.from >= SHORTEST ? player.loop.from : 0, player.position());

  function seek(frame) {
    player.seek(frame);
    follow();
  }

  player.onend = shown;
  find('play').addEventListener('click', toggle);
  all('.version').forEach(b => b.addEventListener('click', () => choose(Number(b.dataset.version))));
  find('position').addEventListener('input', e => seek(Number(e.target.value) / 1000 * data.frames));
  find('volume').addEventListener('input', e => setVolume(Number(e.target.value)));
  find('loop').addEventListener('change', e => loopOnOff(e.target.checked));
  find('loop-from').addEventListener('click', beginLoop);
  find('loop-to').addEventListener('click', endLoop);
  find('loop-all').addEventListener('click', () => loop(0, data.frames));
  find('reference').addEventListener('change', () => choose(player.heard));

  function setVolume(db) {
    player.setVolume(db);
    const text = db <= -60 ? 'off' : `${String(db).replace('-', '−')} dB`;
    find('loudness').textContent = text;
    find('volume').setAttribute('aria-valuetext', text);
  }

  (() => {
    const overview = find('overview');
    let from = null;
    const frame = e => {
      const box = overview.getBoundingClientRect();
      return Math.max(0, Math.min(1, (e.clientX - box.left) / box.width)) * data.frames;
    };
    overview.addEventListener('pointerdown', e => {
      from = { frame: frame(e), x: e.clientX };
      overview.setPointerCapture(e.pointerId);
    });
    overview.addEventListener('pointerup', e => {
      if (!from) return;
      const to = frame(e);
      if (Math.abs(e.clientX - from.x) < 5) seek(to);
      else loop(Math.min(from.frame, to), Math.max(from.frame, to));
      from = null;
    });
    overview.addEventListener('pointercancel', () => { from = null; });
  })();

  document.addEventListener('keydown', e => {
    if (!find('keys').checked || e.ctrlKey || e.altKey || e.metaKey) return;
    const on = e.target.closest('button, summary, input, select, a') || document.body;
    // What a control does with a key comes first.
    if (on.matches('select') || on.matches('input[type="range"]') && /^(Arrow|Home|End|Page)/.test(e.key)) return;
    if (e.key === ' ' && on.matches('button, summary, input[type="checkbox"]')) return;
    const step = e.shiftKey ? 0.1 : 1;
    const key = e.key.length === 1 ? e.key.toLowerCase() : e.key;
    const heard = ['a', 'b', 'x'].indexOf(key);
    if (key === ' ') toggle();
    else if (/^[1-9]$/.test(key)) choose(Number(key) - 1);
    else if (key === 'ArrowLeft') seek(player.position() - step * data.rate);
    else if (key === 'ArrowRight') seek(player.position() + step * data.rate);
    else if (key === 'Home') seek(player.loop ? player.loop.from : 0);
    else if (key === '[') beginLoop();
    else if (key === ']') endLoop();
    else if (key === 'l') loopOnOff(player.loop === null);
    else if (test.on && heard >= 0) test.hear(heard);
    else return;
    e.preventDefault();
  });

  // ---- blind test ----------------------------------------------------------------------------------------------------

  const TRIALS = 16;
  /** The fewest right answers that guessing gives in less than one test of twenty. */
  const NEEDED = 12;

  const coin = () => crypto.getRandomValues(new Uint8Array(1))[0] & 1;

  /** In how many of the 2^n ways to guess n times k or more are right. */
  function ways(k, n) {
    let sum = 0;
    for (let i = k; i <= n; i++) {
      let c = 1;
      for (let j = 1; j <= i; j++) c = c * (n - i + j) / j;
      sum += c;
    }
    return sum;
  }

  function verdict(right) {
    const p = ways(right, TRIALS) / 2 ** TRIALS;
    const share = p >= 0.0995 ? `${Math.round(100 * p)} %` : p >= 0.001 ? `${(100 * p).toFixed(1)} %` : `${(100 * p).toFixed(3)} %`;
    const chance = `By guessing alone, ${right} or more of ${TRIALS} come out right in ${share} of such tests (p = ${p.toFixed(4)}).`;
    return right >= NEEDED
      ? [chance, 'That is less than one test in twenty: it is fair to say that you heard a difference. It does not say which version is better. If you take the test several times, one of them will come out well by chance, so count them all.']
      : [chance, `That is no proof of a difference, and no proof of sameness either: someone who truly hears right seven times in ten reaches ${NEEDED} of ${TRIALS} in fewer than half of such tests. A shorter loop on a telling word and rested ears may show more.`];
  }

  const test = {
    on: false, pair: [0, 1], x: 0, trial: 0, right: 0,

    begin() {
      const pair = [Number(find('blind-one').value), Number(find('blind-other').value)];
      if (pair[0] === pair[1]) return say('Choose two different versions for the blind test.');
      this.pair = coin() ? pair : pair.reverse();
      this.on = true;
      this.trial = this.right = 0;
      player.dips = true;
      document.body.classList.add('blind');
      find('trial').hidden = false;
      find('result').hidden = true;
      this.next();
      drawAll();
      find('trial-state').focus();
    },

    next() {
      this.trial++;
      this.x = coin();
      this.hear(0);
      find('trial-state').textContent = `Trial ${this.trial} of ${TRIALS}`;
    },

    hear(which) {
      player.hear(this.pair[which === 2 ? this.x : which]);
      all('.hear').forEach(b => b.setAttribute('aria-pressed', String(Number(b.dataset.hear) === which)));
      say(`Trial ${this.trial} of ${TRIALS}. You hear ${'ABX'[which]}.`);
    },

    answer(which) {
      if (which === this.x) this.right++;
      if (this.trial < TRIALS) return this.next();
      this.end([`You were right in ${this.right} of ${TRIALS}.`, ...verdict(this.right), `A was version ${called(this.pair[0])}, B was version ${called(this.pair[1])}.`]);
    },

    end(sentences) {
      this.on = false;
      player.dips = false;
      document.body.classList.remove('blind');
      find('trial').hidden = true;
      const result = find('result');
      result.replaceChildren(...sentences.map(s => {
        const p = document.createElement('p');
        p.textContent = s;
        return p;
      }));
      result.hidden = false;
      choose(player.heard);
      say(sentences[0]);
      result.focus();
    },
  };

  find('blind-other').value = '1';
  find('begin').addEventListener('click', () => test.begin());
  all('.hear').forEach(b => b.addEventListener('click', () => test.hear(Number(b.dataset.hear))));
  all('.answer').forEach(b => b.addEventListener('click', () => test.answer(Number(b.dataset.answer))));
  find('give-up').addEventListener('click', () => test.end(['The blind test was ended early. Its score is not told: it would mean nothing.']));

  // ---- beginning -----------------------------------------------------------------------------------------------------

  setVolume(player.volumeDb);
  drawLines();
  /** The version that a link asks for, as in compare.html#version=3; else the first. */
  const asked = () => {
    const number = Number((/^#version=([1-9])$/.exec(location.hash) || [])[1] || 1);
    return number <= versions.length ? number - 1 : 0;
  };
  choose(asked());
  addEventListener('hashchange', () => { if (!test.on) choose(asked()); });
  find('reference').value = '0';
  shown();
  say('');
  dark.addEventListener('change', drawAll);
  addEventListener('resize', drawAll);
  addEventListener('beforeprint', () => { printing = true; drawAll(); });
  addEventListener('afterprint', () => { printing = false; drawAll(); });
  find('curves').closest('figure').hidden = !versions.some(v => v.curves.length);

  /** For tests of this page. */
  window.linnet = {
    player,
    get state() {
      return { playing: player.run !== null, position: player.position(), heard: test.on ? null : player.heard, loop: player.loop, frames: data.frames, rate: data.rate };
    },
  };
})();
