// A yardstick only: the hand-written page that `cargo xtask measure` sets beside the real one.
// Plain script, no framework, no build step. It does the same work at each detent and nothing more: three linked dials,
// a sentence, a ledger, a bracket strip and a table of pairs for one camera.

// ---- Marks. Places are twelfths of a stop and grow with brightness; ISO 100, 1 second and f/1 stand at zero. ----

const NAMES = ['Time', 'Aperture', 'Sensitivity'];
const NOUNS = ['time', 'aperture', 'sensitivity'];
const SMALL = 1; // A twelfth of a stop less than wanted still counts as enough.
const NOISE = 1e-5;

const counted = (n, name) => `${n} ${name}${n === 1 ? '' : 's'}`;
const seconds = n => (n === 3600 ? '1 hour'
  : [n >= 60 && counted(Math.floor(n / 60), 'minute'), n % 60 && counted(n % 60, 'second')].filter(Boolean).join(' '));
const shortly = n => (n === 3600 || n % 60 ? (n === 3600 ? '60min' : `${n}s`) : `${n / 60}min`);
const SCALES = [
  [
    ...[1000, 500, 250, 125, 60, 30, 15, 8, 4, 2].map((n, i) => ({
      figure: `1/${n}`, value: `1/${n}`, spoken: `1/${n} second`, place: 12 * i - 120, long: true,
    })),
    ...[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 24, 26, 28, 30, 35, 40, 45, 50, 55, 60, 75, 90,
      105, 120, 150, 180, 210, 240, 300, 360, 480, 600, 720, 900, 1200, 1800, 2700, 3600].map((n, i) => ({
      figure: i ? `B ${shortly(n)}` : '1s', value: shortly(n), place: 12 * Math.log2(n), byHand: i > 0,
      long: [1, 2, 4, 7, 11, 18, 28, 45, 75, 120, 210, 360, 600, 1200, 3600].includes(n),
      spoken: seconds(n) + (i ? ', by hand on B' : ''),
    })),
  ],
  [16, 11, 8, 5.6, 4, 2.8, 2].map((n, i) => ({
    figure: `${n}`, value: `f/${n}`, spoken: `f/${n}`, place: 12 * i - 96, long: true,
  })),
  [
    0.8, 1, 1.2, 1.6, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400,
    500, 640, 800, 1000, 1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000, 10000, 12800,
  ].map((n, i) => ({
    figure: `${n}`, value: `${n}`, spoken: `ISO ${n}`, place: 4 * i - 84, long: i % 3 === 0,
  })),
];
const LAST = SCALES.map(scale => scale.length - 1);
const valueOf = (dial, i) => (dial === 2 ? SCALES[2][i].spoken : SCALES[dial][i].value);
const placeOf = (dial, i) => SCALES[dial][i].place;

/** The mark for a wanted place: its index, what it gives too much, and the end that stopped it. */
function choose(dial, wanted, moreLight) {
  const scale = SCALES[dial];
  const last = LAST[dial];
  if (wanted > scale[last].place + NOISE) return { at: last, rest: scale[last].place - wanted, end: 1 };
  if (wanted < scale[0].place - NOISE) return { at: 0, rest: scale[0].place - wanted, end: -1 };
  let above = 0;
  while (above < last && scale[above].place < wanted - NOISE) above++;
  const below = Math.max(above - 1, 0);
  const lack = wanted - scale[below].place;
  const excess = scale[above].place - wanted;
  const nearerBelow = excess - lack > NOISE;
  const takeBelow = nearerBelow && !(moreLight && lack > SMALL && excess <= 12);
  const at = takeBelow ? below : above;
  return { at, rest: scale[at].place - wanted, end: 0 };
}

// ---- Words. More light is positive. ----

const SIXTHS = ['', '⅙', '⅓', '½', '⅔', '⅚'];
const COUNTS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve'];
const isEven = stops => Math.abs(stops) < NOISE;
const lean = stops => (isEven(stops) ? 'even' : stops > 0 ? 'more' : 'less');

function sixths(stops) {
  const size = Math.abs(stops) / 2;
  const nearest = Math.round(size);
  return [nearest, Math.abs(size - nearest) < 0.12];
}

function sixthsText(count) {
  const whole = Math.floor(count / 6);
  return whole ? whole + SIXTHS[count % 6] : SIXTHS[count % 6] || '0';
}

function stopsText(stops) {
  const [count, exact] = sixths(stops);
  if (!count && !isEven(stops)) return 'under ⅙ stop';
  return `${exact ? '' : 'about '}${sixthsText(count)} stop${count > 6 || !count ? 's' : ''}`;
}

function difference(stops) {
  return isEven(stops) ? 'no difference' : `${stopsText(stops)} ${stops > 0 ? 'more' : 'less'} light`;
}

function ofAStop(stops) {
  const [count, exact] = sixths(stops);
  if (!count) return 'less than ⅙ of a stop';
  let text;
  if (count === 3) text = 'half a stop';
  else if (count < 6) text = `${sixthsText(count)} of a stop`;
  else if (count === 6) text = 'one stop';
  else text = `${(count % 6 === 0 && COUNTS[count / 6]) || sixthsText(count)} stops`;
  return exact ? text : `about ${text}`;
}

function factor(twelfths) {
  const stops = twelfths / 12;
  const whole = Math.round(stops);
  if (Math.abs(stops - whole) < 0.01 && Math.abs(whole) <= 12) {
    if (whole === 0) return 'the same light';
    if (whole === 1) return 'twice the light';
    if (whole === -1) return 'half the light';
    if (whole === -2) return 'a quarter of the light';
    if (whole === -3) return 'an eighth of the light';
    return whole > 0 ? `${2 ** whole} times the light` : `1/${2 ** -whole} of the light`;
  }
  const times = 2 ** stops;
  if (stops > 0) return `about ${rounded(times, times < 10 ? 1 : 0)} times the light`;
  const percent = times * 100;
  return `about ${rounded(percent, percent < 10 ? 1 : 0)} % of the light`;
}

function rounded(number, places) {
  const unit = 10 ** places;
  return `${Math.round(number * unit) / unit}`.replace('-', '−');
}

function indexText(place) {
  const known = SCALES[2].find(mark => Math.abs(mark.place - place) < 0.24);
  const number = 100 * 2 ** (place / 12);
  return known ? `EI ${known.value}` : `about EI ${rounded(number, number < 1 ? 4 : number < 10 ? 1 : 0)}`;
}

const capital = text => text[0].toUpperCase() + text.slice(1);

// ---- What people type. ----

const EXPECTED = [
  'A time is typed as 1/60, 0.5, 2s or 1\'30.',
  'An aperture is typed as f/8, 8 or 5.6.',
  'A sensitivity is typed as 100 or ISO 400, from 0.8 to 102400.',
];

/** The place of a typed value and its text, or null. Figures within a tenth of a stop of a third are that third. */
function parse(dial, text) {
  const clean = text.trim().toLowerCase().replace(/\s/g, '').replace(',', '.');
  const match = [
    /^(?:(?<over>\d+)\/)?(?<number>\d*\.?\d+)(?<unit>s|sec|seconds?|")?$|^(?<minutes>\d+)(?:'|min|m)(?<rest>\d*)"?s?$/,
    /^(?:f\/?)?(?<number>\d*\.?\d+)$/,
    /^(?:iso|ei|asa)?(?<number>\d*\.?\d+)$/,
  ][dial].exec(clean);
  if (!match) return null;
  let number = Number(match.groups.number);
  let shown;
  if (dial === 0) {
    const { over, unit, minutes, rest } = match.groups;
    if (minutes) number = Number(minutes) * 60 + Number(rest);
    else if (over) number = Number(over) / number;
    else if (!unit && number > 1 && !clean.includes('.')) number = 1 / number;
    shown = number < 0.3 || Math.abs(1 / number - Math.round(1 / number)) < 1e-9 && number < 1
      ? `1/${rounded(1 / number, 1)}` : `${rounded(number, 2)}s`;
  } else {
    shown = (dial === 1 ? 'f/' : 'ISO ') + rounded(number, 2);
  }
  const limits = [[1 / 100000, 100000], [0.5, 1000], [0.1, 10000000]][dial];
  if (!(number >= limits[0] && number <= limits[1])) return null;
  const exact = [12 * Math.log2(number), -24 * Math.log2(number), 12 * Math.log2(number / 100)][dial];
  const third = Math.round(exact / 4) * 4;
  return { text: shown, place: Math.abs(exact - third) < 1.2 ? third : exact };
}

// ---- State: inputs only. Where the followers stand is worked out. ----

const KEY = 'yardstick-setting';

function firstState() {
  const stands = [-84, -60, 0].map((place, dial) => SCALES[dial].findIndex(mark => mark.place === place));
  return {
    reading: [parse(0, '1/125'), parse(1, 'f/8'), parse(2, '200')],
    box: parse(2, '400'),
    film: 'colour-negative',
    theme: 'auto',
    stands,
    settled: [...stands],
    lead: 0,
    from: stands[0],
    extra: 0,
    held: [2],
    bracket: { by: 0, under: 0, over: 3, step: 12, order: 'rising' },
  };
}

function load() {
  const first = firstState();
  try {
    const kept = JSON.parse(localStorage.getItem(KEY));
    const fits = kept?.stands?.every((at, dial) => Number.isInteger(at) && at >= 0 && at <= LAST[dial]);
    return fits ? { ...first, ...kept } : first;
  } catch {
    return first;
  }
}

function save() {
  try {
    localStorage.setItem(KEY, JSON.stringify(state));
  } catch {
    // Without storage the setting lives until the page is closed.
  }
}

const state = load();

const prefersMore = () => state.film !== 'slide';
const isHeld = dial => state.held.includes(dial);
const followers = () => [[1, 2], [0, 2], [0, 1]][state.lead].filter(dial => !isHeld(dial));
const readingSum = () => state.reading[0].place + state.reading[1].place + state.reading[2].place;
const leadMoved = () => placeOf(state.lead, state.stands[state.lead]) - placeOf(state.lead, state.from);
const wish = () => state.extra + (followers().length ? 0 : leadMoved());

function solveWith(free) {
  const marks = [...state.stands];
  const ends = [0, 0, 0];
  const extra = wish();
  const target = readingSum() + extra;
  const sum = () => placeOf(0, marks[0]) + placeOf(1, marks[1]) + placeOf(2, marks[2]);
  let shortfall = null;
  for (const dial of free) {
    const choice = choose(dial, target - sum() + placeOf(dial, marks[dial]), prefersMore());
    marks[dial] = choice.at;
    ends[dial] = choice.end;
    shortfall = choice.end ? choice.rest : null;
    if (!choice.end) break;
  }
  const total = sum() - readingSum();
  return { marks, ends, shortfall, difference: total, residual: total - extra };
}

const solution = () => solveWith(isEven(leadMoved()) ? [] : followers());

function comeToRest(lead) {
  const shown = solution().marks;
  state.extra = wish();
  state.stands = shown;
  state.lead = lead;
  state.from = shown[lead];
  state.settled = [...shown];
}

function solveAnew() {
  const free = followers();
  if (!isHeld(state.lead)) free.splice(free.length - (free.at(-1) === 2 ? 1 : 0), 0, state.lead);
  state.stands = solveWith(free).marks;
  state.from = state.stands[state.lead];
  state.settled = [...state.stands];
}

// ---- Actions. ----

function turn(dial, to) {
  const at = Math.min(Math.max(to, 0), LAST[dial]);
  if (dial !== state.lead) comeToRest(dial);
  const moved = state.stands[dial] !== at;
  state.stands[dial] = at;
  if (moved) render();
  else if (at === 0 || at === LAST[dial]) say(`${NAMES[dial]} ends here, at ${SCALES[dial][at].spoken}.`);
  return moved;
}

function turnByStop(dial, direction) {
  const here = solution().marks[dial];
  const wanted = placeOf(dial, here) + 12 * direction;
  let best = here;
  SCALES[dial].forEach((mark, i) => {
    if (Math.abs(mark.place - wanted) < Math.abs(placeOf(dial, best) - wanted)) best = i;
  });
  turn(dial, best);
}

function settle() {
  const now = solution().marks;
  if (now.every((at, dial) => at === state.settled[dial])) return;
  say(turnedSentence(now));
  state.settled = now;
  save();
}

function giveBack(dial) {
  if (dial !== state.lead) return;
  const inATurn = state.stands[dial] !== state.settled[dial];
  state.stands[dial] = inATurn ? state.settled[dial] : state.from;
  state.settled = solution().marks;
  render();
  say(`${NAMES[dial]} given back: ${SCALES[dial][state.stands[dial]].spoken}.`);
  save();
}

function hold(dial) {
  comeToRest(state.lead);
  const on = !isHeld(dial);
  state.held = state.held.filter(other => other !== dial);
  let text = `${NAMES[dial]} ${on ? 'held' : 'let go'}.`;
  if (on) state.held.push(dial);
  if (state.held.length > 2) {
    text += ` ${NAMES[state.held.shift()]} let go, for two dials at most can be held.`;
  }
  done(text);
}

function change(cause, how) {
  const before = solution().marks;
  comeToRest(state.lead);
  how();
  solveAnew();
  const now = solution();
  const moved = now.marks
    .map((at, dial) => (at === before[dial] ? '' : `${NOUNS[dial]} ${valueOf(dial, at)}`))
    .filter(Boolean);
  const rest = isEven(now.residual) ? '' : ` That gives ${difference(now.residual)} than the reading asks for.`;
  done(`${cause} ${moved.length ? `Now set ${moved.join(' and ')}.` : 'The dials stay where they are.'}${rest}`);
}

function done(text) {
  render();
  say(text);
  save();
}

// ---- The sentence after a move. ----

const VERBS = [['lengthened', 'shortened'], ['opened', 'closed'], ['raised', 'lowered']];

function turnedSentence(now) {
  const { lead, settled } = state;
  const fromTo = dial => `${valueOf(dial, settled[dial])} to ${valueOf(dial, now[dial])}`;
  const moved = placeOf(lead, now[lead]) - placeOf(lead, settled[lead]);
  if (isEven(moved)) return `${NAMES[lead]} stands at ${SCALES[lead][now[lead]].spoken} again.`;
  const effect = lead === 2 ? `needs ${factor(-moved)}` : factor(moved);
  let text = `${NAMES[lead]} ${VERBS[lead][moved > 0 ? 0 : 1]} ${ofAStop(moved)}, ${fromTo(lead)}: ${effect}.`;
  const [first, second] = followers().filter(dial => now[dial] !== settled[dial]);
  if (second !== undefined) {
    text += ` ${NAMES[first]} went to its end, ${fromTo(first)}; ${NOUNS[second]} took the rest, ${fromTo(second)}.`;
  } else if (first !== undefined) {
    text += ` ${NAMES[first]} made it up, ${fromTo(first)}.`;
  }
  const { shortfall, difference: total, residual } = solution();
  if (shortfall !== null && !isEven(shortfall)) {
    return `${text} No free dial turns further: ${difference(total)} than the reading asks for.`;
  }
  if (!followers().length) {
    return isEven(total)
      ? `${text} Everything else is held; this is what the reading asks for.`
      : `${text} Everything else is held: ${difference(total)} than the reading asks for.`;
  }
  return isEven(residual) ? text : `${text} The marks leave ${difference(residual)}.`;
}

// ---- The page. Nodes are made once; a text is written only where it differs. ----

const $ = id => document.getElementById(id);
const put = (node, text) => { if (node.textContent !== text) node.textContent = text; };
const attribute = (node, name, text) => { if (node.getAttribute(name) !== text) node.setAttribute(name, text); };
const fill = (field, text) => { if (document.activeElement !== field && field.value !== text) field.value = text; };
const say = text => put($('status'), text);

const PARTS = { held: 'held', leads: 'turned', follows: 'follows', free: 'free' };
const ENDS = [['fastest mark', 'slowest mark'], ['smallest stop', 'wide open'], ['lowest mark', 'highest mark']];
const HAND_LIMIT = 12 * Math.log2(1 / 50);

function support(at) {
  if (SCALES[0][at].byHand) return 'tripod, by hand on B';
  return placeOf(0, at) - HAND_LIMIT > SMALL ? 'tripod' : 'hand-held';
}

function makeDial(dial) {
  const noun = NOUNS[dial];
  const root = $('dial').content.firstElementChild.cloneNode(true);
  const part = name => root.querySelector(name);
  root.dataset.dial = noun;
  put(part('h3'), NAMES[dial]);
  const range = part('[type=range]');
  range.max = LAST[dial];
  range.setAttribute('aria-label', NAMES[dial]);
  const disc = part('.disc');
  for (const mark of SCALES[dial]) {
    const notch = document.createElement('span');
    notch.className = mark.long ? 'notch long' : 'notch';
    notch.style.setProperty('--at', mark.place / 12);
    if (mark.long) notch.textContent = mark.figure;
    disc.append(notch);
  }
  const [less, more] = dial === 2 ? ['lower', 'higher'] : ['less light', 'more light'];
  for (const [button, way, by] of [[part('.less'), less, -1], [part('.more'), more, 1]]) {
    button.innerHTML = `<span class="sr">${NAMES[dial]}, one mark: </span><span></span><span class="sr"> ${way}</span>`;
    button.addEventListener('click', () => {
      turn(dial, solution().marks[dial] + by);
      settle();
    });
  }
  const holder = part('.hold');
  put(holder, `Hold ${noun}`);
  holder.addEventListener('click', () => hold(dial));
  const value = part('.value');
  const typed = part('.typed');
  value.innerHTML = `<span class="sr">Type ${noun}: </span><span></span>`;
  typed.setAttribute('aria-label', `${NAMES[dial]} value`);
  typing(dial, value, typed);
  keys(dial, range);
  pointer(dial, part('.face'), disc, range);
  $('dials').append(root);
  // What is filled of a button stands second in it, behind what is only spoken.
  const filled = button => button.children[1];
  return {
    root, range, disc, holder, part: part('.part'), note: part('.note'),
    value: filled(value), less: filled(part('.less')), more: filled(part('.more')),
  };
}

function typing(dial, value, typed) {
  const leave = () => {
    typed.hidden = true;
    value.hidden = false;
  };
  value.addEventListener('click', () => {
    value.hidden = true;
    typed.hidden = false;
    typed.value = '';
    typed.focus();
  });
  typed.addEventListener('keydown', event => {
    if (event.key === 'Escape') leave();
    if (event.key !== 'Enter') return;
    const meant = parse(dial, typed.value);
    if (!meant) {
      say(EXPECTED[dial]);
      return;
    }
    const choice = choose(dial, meant.place, false);
    turn(dial, choice.at);
    settle();
    if (!isEven(choice.rest)) say(`The nearest mark to ${meant.text} is ${valueOf(dial, choice.at)}.`);
    leave();
    value.focus();
  });
  typed.addEventListener('blur', leave);
}

function keys(dial, range) {
  const here = () => solution().marks[dial];
  range.addEventListener('keydown', event => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const way = { ArrowRight: 1, ArrowUp: 1, PageUp: 1, ArrowLeft: -1, ArrowDown: -1, PageDown: -1 }[event.key];
    if (way) {
      if (event.shiftKey || event.key.startsWith('Page')) turnByStop(dial, way);
      else turn(dial, here() + way);
    } else if (event.key === 'Home') turn(dial, 0);
    else if (event.key === 'End') turn(dial, LAST[dial]);
    else if (event.key === 'Escape') giveBack(dial);
    else return;
    event.preventDefault();
  });
  range.addEventListener('keyup', settle);
  range.addEventListener('blur', settle);
  range.addEventListener('input', () => turn(dial, Math.round(range.valueAsNumber)));
  range.addEventListener('change', settle);
  let idle;
  range.parentElement.addEventListener('wheel', event => {
    if (document.activeElement !== range) return;
    event.preventDefault();
    turn(dial, here() + (event.deltaY < 0 ? 1 : -1));
    clearTimeout(idle);
    idle = setTimeout(settle, 300);
  }, { passive: false });
}

function pointer(dial, face, disc, range) {
  let held = null;
  const angle = event => Math.atan2(held.x - event.clientX, held.y - event.clientY) * 180 / Math.PI;
  const distance = (event, x, y) => Math.hypot(event.clientX - x, event.clientY - y);

  face.addEventListener('pointerdown', event => {
    const modified = event.ctrlKey || event.altKey || event.metaKey || event.shiftKey;
    if (held || event.button !== 0 || !event.isPrimary || modified) return;
    const box = disc.getBoundingClientRect();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    if (distance(event, x, y) < 16) return;
    const at = solution().marks[dial];
    held = {
      id: event.pointerId, x, y, at, turned: 0, isTap: true,
      place: placeOf(dial, at) / 12,
      pitch: parseFloat(getComputedStyle(disc).getPropertyValue('--pitch')),
      downX: event.clientX, downY: event.clientY,
    };
    held.last = angle(event);
    face.setPointerCapture(event.pointerId);
    face.dataset.held = '';
    range.focus({ preventScroll: true });
    event.preventDefault();
  });

  face.addEventListener('pointermove', event => {
    if (event.pointerId !== held?.id) return;
    if (distance(event, held.downX, held.downY) > 6) held.isTap = false;
    if (distance(event, held.x, held.y) >= 16) {
      const now = angle(event);
      let step = (now - held.last) % 360;
      if (step > 180) step -= 360;
      if (step < -180) step += 360;
      held.turned += step;
      held.last = now;
    }
    const wanted = held.place + held.turned / held.pitch;
    const scale = SCALES[dial];
    if (!held.isTap) {
      // A detent gives way a little past the middle, so that a trembling finger does not make it chatter.
      const past = to => to >= 0 && to <= LAST[dial]
        && (wanted * 12 - scale[held.at].place) / (scale[to].place - scale[held.at].place) > 0.6;
      const before = held.at;
      while (past(held.at + 1)) held.at++;
      while (past(held.at - 1)) held.at--;
      if (held.at !== before && turn(dial, held.at) && event.pointerType === 'touch') navigator.vibrate?.(8);
    }
    const drawn = Math.min(Math.max(wanted, scale[0].place / 12 - 0.2), scale[LAST[dial]].place / 12 + 0.2);
    disc.style.setProperty('--place', drawn.toFixed(3));
  });

  const end = (event, taken) => {
    if (event.pointerId !== held?.id) return;
    const { isTap, place, pitch } = held;
    const tapped = place * 12 - angle(event) / pitch * 12;
    held = null;
    delete face.dataset.held;
    if (taken) giveBack(dial);
    else if (isTap) turn(dial, choose(dial, tapped, false).at);
    settle();
    drawDial(dial, solution(), true);
  };
  face.addEventListener('pointerup', event => end(event, false));
  face.addEventListener('pointercancel', event => end(event, true));
  face.addEventListener('lostpointercapture', event => end(event, false));
}

function drawDial(dial, now, always) {
  const nodes = dials[dial];
  const at = now.marks[dial];
  const mark = SCALES[dial][at];
  put(nodes.value, mark.value);
  put(nodes.less, SCALES[dial][at - 1]?.value ?? '');
  put(nodes.more, SCALES[dial][at + 1]?.value ?? '');
  if (nodes.range.valueAsNumber !== at) nodes.range.value = at;
  attribute(nodes.range, 'aria-valuetext', mark.spoken);
  // The finger itself turns the disc that it holds.
  const underFinger = 'held' in nodes.disc.parentElement.dataset;
  if (nodes.at !== at && !underFinger || always) nodes.disc.style.setProperty('--place', mark.place / 12);
  nodes.at = underFinger ? -1 : at;
  let part = 'free';
  if (isHeld(dial)) part = 'held';
  else if (state.lead === dial) part = 'leads';
  else if (followers()[0] === dial || now.ends.some(Boolean)) part = 'follows';
  put(nodes.part, PARTS[part]);
  attribute(nodes.root, 'data-part', part);
  attribute(nodes.holder, 'aria-pressed', `${part === 'held'}`);
  let note = '';
  if (mark.byHand) note = 'by hand on B';
  else if (now.ends[dial]) note = ENDS[dial][now.ends[dial] > 0 ? 1 : 0];
  else if (dial === 0 && support(at) === 'tripod') note = 'tripod';
  put(nodes.note, note);
}

const ledgerLines = NAMES.map(name => {
  const line = document.createElement('li');
  line.innerHTML = '<span class="what"></span><span class="change"></span><i class="bar"></i><span class="stops"></span>';
  const [what, changed, bar, stops] = line.children;
  put(what, name);
  $('ledger').append(line);
  return { line, changed, bar, stops };
});

function stretch(bar, length) {
  if (bar.dataset.length === length) return;
  bar.dataset.length = length;
  bar.style.setProperty('--stops', length);
}

function drawLedger(now) {
  // Rounded running sums, so that the lines add up to the total.
  let sum = 0;
  let before = 0;
  const exact = now.marks.map((at, dial) => placeOf(dial, at) - state.reading[dial].place);
  const unit = exact.every(stops => Math.abs(stops / 2 - Math.round(stops / 2)) < 1e-3) ? 6 : 100;
  const parts = count => {
    const size = Math.abs(count);
    const text = unit === 6 ? sixthsText(size) : rounded(size / 100, 2);
    return `${text} stop${size > unit ? 's' : ''} ${count > 0 ? 'more' : 'less'} light`;
  };
  exact.forEach((stops, dial) => {
    sum += stops;
    const rounded = Math.round(sum * unit / 12);
    const count = rounded - before;
    before = rounded;
    const { line, changed, bar, stops: words } = ledgerLines[dial];
    const read = state.reading[dial].text;
    const set = dial === 2 ? `EI ${SCALES[2][now.marks[2]].value}` : valueOf(dial, now.marks[dial]);
    put(changed, !count && read === set ? `${set}, as read` : `${read} → ${set}`);
    put(words, !count ? 'no difference' : dial === 2 ? `asks for ${parts(-count)}` : `gives ${parts(count)}`);
    attribute(line, 'data-lean', lean(count));
    const length = `${count / unit}`;
    stretch(bar, length);
  });
  let total = `${before ? parts(before) : ''} than the reading asks for`;
  if (!before) {
    total = isEven(now.difference) ? 'As the reading asks' : `As the reading asks, but for ${difference(now.difference)}`;
  }
  put($('total'), total);
  attribute($('total'), 'data-lean', lean(now.difference));
  put($('reasons'), reasons(now).join(' '));
  $('back').disabled = isEven(wish());
}

function reasons(now) {
  const out = [];
  if (!isEven(wish())) out.push(`Turned on purpose: ${difference(wish())}.`);
  const rest = now.residual;
  if (isEven(rest)) return out;
  const free = followers();
  const stuck = dial => now.marks[dial] === (rest < 0 ? LAST[dial] : 0);
  if (free.length && free.every(stuck) && Math.abs(rest) > SMALL) {
    const names = free.map(dial => `${NOUNS[dial]} ends at ${valueOf(dial, now.marks[dial])}`);
    out.push(`${capital(names.join(' and '))}: ${difference(rest)}.`);
  } else {
    out.push(`Rounded to marks that this camera has: ${difference(rest)}.`);
  }
  return out;
}

function offsets({ under, over, order }) {
  const rising = Array.from({ length: under + over + 1 }, (_, i) => i - under);
  if (order === 'falling') return rising.reverse();
  if (order === 'rising') return rising;
  return [0, ...rising.filter(n => n < 0).reverse(), ...rising.filter(n => n > 0)];
}

function frames(now) {
  const { by, step } = state.bracket;
  const base = now.marks[by];
  const seen = [];
  return offsets(state.bracket).map((multiple, i) => {
    const wanted = multiple * step;
    const choice = multiple ? choose(by, placeOf(by, base) + wanted, false) : { at: base, end: 0 };
    const given = placeOf(by, choice.at) - placeOf(by, base);
    const time = by === 0 ? choice.at : now.marks[0];
    const index = readingSum() - placeOf(0, time) - placeOf(1, by === 1 ? choice.at : now.marks[1]);
    const fromBox = state.box.place - index;
    const flags = [];
    if (choice.end || !isEven(given - wanted)) {
      const why = choice.end ? 'end of scale' : 'nearest mark';
      flags.push(`${why}: wanted ${difference(wanted)}, gives ${difference(given)}`);
    }
    if (seen.includes(choice.at)) flags.push(`same setting as frame ${seen.indexOf(choice.at) + 1}`);
    seen.push(choice.at);
    const frame = {
      number: `${i + 1}`,
      set: valueOf(by, choice.at),
      leave: `leave ${valueOf(1 - by, now.marks[1 - by])}`,
      'from-base': multiple ? difference(given) : 'base',
      'from-box': isEven(fromBox) ? 'at box speed' : `${difference(fromBox)} than box`,
      ei: indexText(index),
      support: support(time),
      flags: flags.join('\n'),
    };
    return { frame, isBase: !multiple, lean: lean(fromBox), length: `${Math.abs(fromBox) / 12}` };
  });
}

const cells = [];

function drawStrip(now) {
  const wanted = frames(now);
  const strip = $('strip');
  while (cells.length > wanted.length) cells.pop().item.remove();
  while (cells.length < wanted.length) {
    const item = $('frame').content.firstElementChild.cloneNode(true);
    cells.push({ item, nodes: [...item.querySelectorAll('[class]:not(.bar, .sr)')], bar: item.querySelector('.bar') });
    strip.append(item);
  }
  wanted.forEach(({ frame, isBase, lean: way, length }, i) => {
    const { item, nodes, bar } = cells[i];
    for (const node of nodes) put(node, frame[node.className]);
    stretch(bar, length);
    attribute(item, 'data-base', `${isBase}`);
    attribute(item, 'data-lean', way);
  });
  const { by, under, over, step } = state.bracket;
  const count = under + over + 1;
  const stays = valueOf(1 - by, now.marks[1 - by]);
  const sides = !under && !over ? 'the base only'
    : !under ? `the base and ${over} with more light`
    : !over ? `the base and ${under} with less light`
    : `the base, ${under} with less and ${over} with more light`;
  put($('summary'), `${count} frame${count > 1 ? 's' : ''} by ${NOUNS[by]} at ${stays}, ${stopsText(step)} apart: ${sides}.`);
}

const rows = [];

function drawPairs(now) {
  const target = readingSum() + wish() - placeOf(2, now.marks[2]);
  const wanted = [];
  for (let time = LAST[0]; time >= 0; time--) {
    const choice = choose(1, target - placeOf(0, time), prefersMore());
    if (!choice.end || Math.abs(choice.rest) <= SMALL) wanted.push({ time, ...choice });
  }
  while (rows.length > wanted.length) rows.pop().item.remove();
  while (rows.length < wanted.length) {
    const item = document.createElement('li');
    item.innerHTML = '<button type="button"><b></b> <b></b> <span></span> <span></span></button>';
    const button = item.firstElementChild;
    const row = { item, button, nodes: [...button.children] };
    button.addEventListener('click', () => pick(row.pair));
    rows.push(row);
    $('pairs').append(item);
  }
  wanted.forEach((pair, i) => {
    const row = rows[i];
    row.pair = pair;
    const rest = isEven(pair.rest) ? 'exact' : difference(pair.rest);
    const texts = [valueOf(0, pair.time), valueOf(1, pair.at), rest, support(pair.time)];
    texts.forEach((text, j) => put(row.nodes[j], text));
    attribute(row.button, 'aria-pressed', `${pair.time === now.marks[0] && pair.at === now.marks[1]}`);
  });
}

function pick({ time, at }) {
  comeToRest(state.lead);
  state.stands[0] = time;
  state.stands[1] = at;
  state.from = state.stands[state.lead];
  state.settled = [...state.stands];
  done(`Set to ${valueOf(0, time)} at ${valueOf(1, at)}.`);
}

function render() {
  const now = solution();
  for (let dial = 0; dial < 3; dial++) drawDial(dial, now, false);
  drawLedger(now);
  drawStrip(now);
  drawPairs(now);
  const fromBox = state.box.place - placeOf(2, now.marks[2]);
  put($('rating'), isEven(fromBox) ? 'Rated at box speed' : `Rated for ${difference(fromBox)} than box speed`);
  put($('light'), `EV ${rounded(-readingSum() / 12, 1)} at ISO 100`);
  state.reading.forEach(({ text }, dial) => fill($(`reading-${dial}`), text));
  fill($('box'), state.box.text);
}

// ---- Fields. ----

function field(input, error, dial, take) {
  input.addEventListener('change', () => {
    const meant = parse(dial, input.value);
    put(error, meant ? '' : EXPECTED[dial]);
    input.setAttribute('aria-invalid', `${!meant}`);
    if (!meant) return;
    input.value = meant.text;
    take(meant);
  });
}

[0, 1, 2].forEach(dial => field($(`reading-${dial}`), $('reading-error'), dial, meant => {
  change(`${NAMES[dial]} of the reading is ${meant.text}.`, () => { state.reading[dial] = meant; });
}));
field($('box'), $('box-error'), 2, meant => {
  state.box = meant;
  done(`Box speed ${meant.text}.`);
});
$('film').value = state.film;
$('film').addEventListener('change', event => {
  change('Film type chosen.', () => { state.film = event.target.value; });
});
$('back').addEventListener('click', () => {
  const before = solution().marks;
  comeToRest(state.lead);
  state.extra = 0;
  solveAnew();
  const now = solution().marks;
  done(now.some((at, dial) => at !== before[dial]) ? 'Back to the reading.' : 'The dials stay where they are.');
});
for (const name of ['by', 'under', 'over', 'step', 'order']) {
  const input = $(`bracket-${name}`);
  input.value = state.bracket[name];
  input.addEventListener('change', () => {
    const number = Math.min(Math.max(Number(input.value) || 0, 0), name === 'step' ? 24 : 6);
    state.bracket[name] = name === 'order' ? input.value : number;
    input.value = state.bracket[name];
    render();
    say($('summary').textContent);
    save();
  });
}
const showTheme = () => { document.documentElement.dataset.theme = state.theme; };
$('theme').value = state.theme;
$('theme').addEventListener('change', event => {
  state.theme = event.target.value;
  showTheme();
  save();
});
showTheme();

const dials = NAMES.map((_, dial) => makeDial(dial));
render();
say('Type what the other device shows, then turn a dial: a free one makes up for it.');
performance.mark('app-mounted');

if ('serviceWorker' in navigator) {
  addEventListener('load', () => navigator.serviceWorker.register('sw.js', { updateViaCache: 'none' }));
}
