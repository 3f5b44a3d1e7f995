"""Words as BackEnds/Words/README.md describes them. Arguments: the file and its machine as JSON."""
import json
import sys
from course import show

data = open(sys.argv[1], 'rb').read()
machine = json.loads(sys.argv[2])
bits, fine = machine['bits'], machine.get('fine_bits', 0)
width = 16 if bits <= 16 else 24
layout = machine.get('words') or {
    'word_bits': width, 'fields': [[name, width] for name in ('x', 'y', 'dwell', 'blank')], 'byte_order': 'little', 'reversed': False}
word = layout['word_bits']
size = sum(n for _, n in layout['fields']) // 8
assert len(data) % size == 0, 'cut short'
names = [name for name, _ in layout['fields']]
points = []
for at in range(0, len(data), size):
    text = ''
    for start in range(at, at + size, word // 8):
        number = int.from_bytes(data[start:start + word // 8], layout['byte_order'])
        text += f'{number:0{word}b}'[::-1 if layout['reversed'] else 1]
    found = {'dwell': 1}
    for name, n in layout['fields']:
        value, text = int(text[:n], 2), text[n:]
        part = name.partition('_')[2]
        if name[0] in 'xy':
            own = {'': bits, 'coarse': bits - fine, 'fine': fine}[part]
            if machine['signed']:
                value = value + (1 << own - 1) & (1 << n) - 1
            assert value < 1 << own, 'not of this converter'
        elif name in ('blank', 'scan'):
            assert value in (0, (1 << n) - 1)
            value = int(value > 0)
        assert name != 'zero' or value == 0
        found[name] = value
    x, y = (found[a] if a in found else found[a + '_coarse'] << fine | found[a + '_fine'] for a in 'xy')
    is_on = found['blank'] != machine['high_when_off'] if 'blank' in found else True
    if found.get('scan') == 0:
        assert at + size == len(data) and not ('blank' in found and is_on)
        break
    points.append((x, y, found['dwell'], is_on))
else:
    assert 'scan' not in names
assert 'blank' not in names or not is_on, 'ends with the beam on'
show(points, machine['high_when_off'])
