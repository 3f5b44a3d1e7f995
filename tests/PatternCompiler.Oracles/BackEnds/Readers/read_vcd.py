"""A value change dump as BackEnds/ValueChange/README.md describes it, read as IEEE 1364-2005, 18.2 has it: by tokens, lines by their names,
whatever their identifiers and wherever lines break. Arguments: the file and its machine as JSON."""
import json
import sys
from fractions import Fraction
from course import show

machine = json.loads(sys.argv[2])
text = open(sys.argv[1], 'rb').read().decode('ascii')
assert 'value changes' not in text
words = iter(text.split())
ids, sizes, seconds = {}, {}, None
for word in words:
    if word == '$enddefinitions':
        assert next(words) == '$end'
        break
    section = []
    while (part := next(words)) != '$end':
        section.append(part)
    if word == '$timescale':
        number, unit = ''.join(section)[:-2], ''.join(section)[-2:]
        if unit[0].isdigit():
            number, unit = number + unit[0], unit[1]
        assert number in ('1', '10', '100')
        seconds = int(number) * Fraction(1, {'s': 1, 'ms': 10**3, 'us': 10**6, 'ns': 10**9, 'ps': 10**12}[unit])
    elif word == '$var':
        ids[section[2]] = section[3].split('[')[0]
        sizes[section[3].split('[')[0]] = int(section[1])
assert sizes == {'x': machine['bits'], 'y': machine['bits'], 'blank': 1, 'beam': 1, 'scan_enable': 1, 'wait': 1, 'figure': 64}


def ticks(time):
    """The tick that a time stands for, exactly or rounded to the picosecond."""
    exact = time * seconds * Fraction(machine['clock'])
    tick = int(exact + Fraction(1, 2))
    assert exact == tick or (seconds == Fraction(1, 10**12) and abs(Fraction(tick) / Fraction(machine['clock']) - time * seconds) <= seconds / 2), time
    return tick


points, now, values, first = [], None, {}, True
for word in words:
    if word[0] == '#':
        then = ticks(int(word[1:]))
        if now is not None:
            assert then > now and int(values['blank']) == ((values['beam'] == '1') != machine['high_when_off'])
            assert values['scan_enable'] == '1' and not (values['wait'] == '1' and values['beam'] == '1')
            points.append((int(values['x'], 2), int(values['y'], 2), then - now, values['beam'] == '1'))
            assert max(points[-1][:2]) < 1 << machine['bits']
        else:
            assert then == 0
        now = then
    elif word[0] in 'b':
        values[ids[next(words)]] = word[1:]
    elif word[0] in '01xz':
        values[ids[word[1:]]] = word[0]
    else:
        assert word in ('$dumpvars', '$end'), word
assert (values['scan_enable'], values['beam'], values['wait'], int(values['blank'])) == ('0', '0', '0', int(machine['high_when_off']))
show(points, machine['high_when_off'])
