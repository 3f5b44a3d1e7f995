/*
 * Writes seeded faults as a script that every receiver can be led through, this one and the one in logic/: random streams of all
 * kinds of records for random boards, then a thing that goes wrong while they come.
 *
 *   faults SEED COUNT [clean]
 *
 * "clean" writes the same streams without the faults, at a pace that never starves. A line of the script is a letter and a number:
 *
 *   s settings: bits + 256 * coding + 65536 * blank level      n number of a run: a reset, nothing has happened
 *   b a byte comes; while there is no room for it ticks go by, after 3000 of them the receiver is told of an overrun
 *   t so many ticks go by                                       m so many milliseconds go by
 *   u ticks go by until the pins have not changed for 240, at most so many
 *   e the trigger input has its edge                            f the fault, for whoever judges: 0 to 17, see below
 *   i 0 the interlock opens, 1 it closes                        r a reset
 */
#include "parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_STREAM = 1 << 15, MOST_BLOCKS = 64, HEADER_BYTES = 122, RUN_OUT_TICKS = 1500, CLEAN_TICKS = 1600, RUN_OUT_MILLISECONDS = 560, MANY_STOPS = 1024 };

static uint64_t state;

/* SplitMix64. */
static uint32_t dice(uint32_t below)
{
    state += 0x9E3779B97F4A7C15u;
    uint64_t z = state;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return (uint32_t)((z ^ (z >> 31)) >> 32) % below;
}

struct stream {
    uint8_t bytes[MOST_STREAM];
    size_t length;
    size_t blocks[MOST_BLOCKS]; /* where each begins */
    size_t block_count;
    unsigned bits;
    unsigned word_bytes;
    struct receiver_totals totals;
    unsigned triggers;
};

static struct stream stream;
static uint8_t changed[2 * MOST_STREAM];
static size_t changed_length;

static void put(uint32_t value, unsigned bytes)
{
    for (unsigned i = 0; i < bytes; i++) {
        stream.bytes[stream.length++] = (uint8_t)(value >> (8 * i));
    }
}

static void put_word(uint32_t value)
{
    put(value, stream.word_bytes);
}

static void put_pair(uint32_t value)
{
    put_word(stream.word_bytes == 4 ? value : value & (((uint32_t)1 << (8 * stream.word_bytes)) - 1));
    put_word(stream.word_bytes == 4 ? 0 : value >> (8 * stream.word_bytes));
}

static void put_crc(size_t start)
{
    put(receiver_crc(stream.bytes + start, stream.length - start), 4);
}

static uint32_t code(void)
{
    return dice(4) == 0 ? (dice(2) == 0 ? 0 : ((uint32_t)1 << stream.bits) - 1) : dice((uint32_t)1 << stream.bits);
}

static void put_header(unsigned coding, unsigned level, unsigned profile)
{
    static const uint8_t start[] = {0x9C, 'P', 'C', 'X', 0x0D, 0x0A, 1};
    memcpy(stream.bytes, start, sizeof start);
    stream.length = sizeof start;
    put((profile & PROFILE_TRIGGERS) != 0 ? 2 : 1, 1);
    put(HEADER_BYTES, 2);
    put(~(uint32_t)HEADER_BYTES, 2);
    put(stream.word_bytes, 1);
    put(profile, 1);
    put(RECEIVER_LARGEST_PAYLOAD, 2);
    put(stream.bits, 1);
    put(coding, 1);
    while (stream.length < 85) {
        put(stream.length == 60 ? 1 : 0, 1);
    }
    put(level, 1);
    while (stream.length < HEADER_BYTES - 4) {
        put(dice(256), 1);
    }
    put_crc(0);
}

/* A record, with few ticks; a marker only behind something that takes time. */
static void put_record(unsigned profile, bool *may_mark)
{
    uint32_t kind = 1 + dice(6);
    if ((kind == MARKER && !*may_mark) || (kind == LINE && (profile & PROFILE_LINES) == 0) ||
        (kind == TRIGGER && ((profile & PROFILE_TRIGGERS) == 0 || stream.triggers >= 4))) {
        kind = DOT;
    }
    put_word(kind);
    const uint32_t ticks = 1 + dice(5);
    stream.totals.records++;
    switch (kind) {
    case JUMP:
    case DOT: {
        const uint32_t dwell = kind == DOT && dice(10) == 0 ? 0 : ticks;
        put_word(code());
        put_word(code());
        put_pair(dwell);
        stream.totals.points += kind == DOT ? 1 : 0;
        stream.totals.ticks += dwell;
        break;
    }
    case LINE: {
        const uint32_t points = 1 + dice(12);
        const uint32_t more = dice(points);
        for (unsigned i = 0; i < 4; i++) {
            put_word(code());
        }
        put_pair(points);
        put_pair(ticks - 1);
        put_pair(more);
        stream.totals.points += points;
        stream.totals.ticks += points * (uint64_t)(ticks - 1) + more;
        break;
    }
    case WAIT:
        put_pair(ticks);
        stream.totals.ticks += ticks;
        break;
    case TRIGGER:
        put_pair(40 + dice(180));
        stream.triggers++;
        break;
    default:
        put_pair(dice(UINT32_MAX));
        break;
    }
    *may_mark = kind == JUMP || kind == WAIT || kind == TRIGGER;
}

static void start_block(uint8_t type)
{
    stream.blocks[stream.block_count++] = stream.length;
    put(type, 1);
    stream.length += 5;
    put((uint32_t)stream.block_count - 1, 4);
}

static void end_block(unsigned records)
{
    const size_t start = stream.blocks[stream.block_count - 1];
    const size_t end = stream.length;
    const uint32_t payload = (uint32_t)(end - start - BLOCK_HEADER);
    stream.length = start + 1;
    put(records, 1);
    put(payload, 2);
    put(~payload, 2);
    stream.length = end;
    put_crc(start);
}

static void make_stream(unsigned coding, unsigned level)
{
    const unsigned profile = dice(MOST_PROFILES);
    bool may_mark = true;
    stream.block_count = 0;
    stream.triggers = 0;
    memset(&stream.totals, 0, sizeof stream.totals);
    stream.word_bytes = stream.bits > 16 ? 3 + dice(2) : 2 + dice(3);
    put_header(coding, dice(4) == 0 ? 0 : level, profile);
    for (unsigned block = 1 + dice(7); block > 0; block--) {
        const unsigned records = 1 + dice(9);
        start_block(RECORDS_BLOCK);
        for (unsigned i = 0; i < records; i++) {
            put_record(profile, &may_mark);
        }
        end_block(records);
    }
    start_block(END_BLOCK);
    for (unsigned i = 0; i < 3; i++) {
        const uint64_t total = i == 0 ? stream.totals.records : i == 1 ? stream.totals.points : stream.totals.ticks;
        put((uint32_t)total, 4);
        put((uint32_t)(total >> 32), 4);
    }
    end_block(0);
}

/* ---- faults ---- */

static void insert(size_t at, size_t count, int value)
{
    memmove(changed + at + count, changed + at, changed_length - at);
    for (size_t i = 0; i < count; i++) {
        changed[at + i] = value < 0 ? (uint8_t)dice(256) : (uint8_t)value;
    }
    changed_length += count;
}

static void cut(size_t at, size_t count)
{
    memmove(changed + at, changed + at + count, changed_length - at - count);
    changed_length -= count;
}

static size_t block_end(size_t block)
{
    return block + 1 < stream.block_count ? stream.blocks[block + 1] : stream.length;
}

static void swap_blocks(size_t block)
{
    const size_t next = block + 1;
    const size_t first = stream.blocks[block];
    const size_t second = stream.blocks[next];
    const size_t end = block_end(next);
    memcpy(changed + first, stream.bytes + second, end - second);
    memcpy(changed + first + (end - second), stream.bytes + first, second - first);
}

/* What only a wrong writer does: a sound CRC over a wrong content. */
static void make_wrong(size_t at)
{
    size_t start = 0;
    size_t end = stream.blocks[0];
    for (size_t i = 0; i < stream.block_count; i++) {
        if (at >= stream.blocks[i]) {
            start = stream.blocks[i];
            end = block_end(i);
        }
    }
    if (at < end - CRC_BYTES) {
        changed[at] = (uint8_t)(dice(2) == 0 ? dice(8) : changed[at] ^ (1u << dice(8)));
        const uint32_t crc = receiver_crc(changed + start, end - CRC_BYTES - start);
        for (unsigned i = 0; i < CRC_BYTES; i++) {
            changed[end - CRC_BYTES + i] = (uint8_t)(crc >> (8 * i));
        }
    }
}

static void damage(unsigned kind)
{
    const size_t at = dice((uint32_t)stream.length);
    const size_t block = dice((uint32_t)stream.block_count);
    switch (kind) {
    case 0: changed[at] ^= (uint8_t)(1u << dice(8)); break;
    case 1: cut(at, 1); break;
    case 2: insert(at, 1, changed[at]); break;
    case 3: changed_length = at; break;
    case 4: insert(at, 1 + dice(40), -1); break;
    case 5: insert(dice(2) == 0 ? at : stream.blocks[block], MANY_STOPS, STOP_BYTE); break;
    case 6: cut(stream.blocks[block], block_end(block) - stream.blocks[block]); break;
    case 7:
        if (block + 1 < stream.block_count) {
            swap_blocks(block);
        }
        break;
    case 8: {
        const size_t start = stream.blocks[block];
        insert(start, block_end(block) - start, 0);
        memcpy(changed + start, stream.bytes + start, block_end(block) - start);
        break;
    }
    case 9: /* once more */
        memcpy(changed + changed_length, stream.bytes, stream.length);
        changed_length += stream.length;
        break;
    case 10:
    case 11: make_wrong(at); break;
    default: break; /* what happens beside the bytes */
    }
}

enum { FAULTS = 18, LINK_SILENT = 12, INTERLOCK = 13, RESET = 14, NO_EDGES = 15 };

static void script(bool is_clean)
{
    const unsigned fault = is_clean ? FAULTS : dice(FAULTS);
    const uint32_t pace = 1 + dice(6);
    const bool in_time = dice(3) == 0;
    memcpy(changed, stream.bytes, stream.length);
    changed_length = stream.length;
    if (!is_clean) {
        printf("f %u\n", fault);
        damage(fault);
    }
    const size_t moment = dice((uint32_t)changed_length + 1);
    const size_t other = dice((uint32_t)changed_length + 1);
    for (size_t i = 0; i < changed_length; i++) {
        if (!is_clean && i == moment) {
            switch (fault) {
            case LINK_SILENT: printf("m %u\n", dice(2) == 0 ? dice(290) : RUN_OUT_MILLISECONDS); break;
            case INTERLOCK: printf("t %u\ni 0\n", dice(40)); break;
            case RESET: printf("t %u\nr 0\n", dice(40)); break;
            default: break;
            }
        }
        if (!is_clean && i == other && fault == INTERLOCK) {
            printf("i 1\n");
        }
        printf("b %u\n", changed[i]);
        if (is_clean) {
            printf("t 12\n");
        } else if (dice(pace) == 0) {
            printf("t %u\n", 1 + dice(in_time ? 2 : 9));
        }
        if (fault != NO_EDGES && dice(is_clean ? 1 : 20) == 0) {
            printf("e 0\n");
        }
    }
    for (unsigned i = 0; i < 8; i++) {
        printf("t %u\n", dice(30));
        if (fault != NO_EDGES) {
            printf("e 0\n");
        }
    }
    for (unsigned i = 0; is_clean && i < CLEAN_TICKS / 16; i++) {
        printf("t 16\ne 0\n");
    }
    printf("u %u\nm %u\ni 0\n", RUN_OUT_TICKS, RUN_OUT_MILLISECONDS); /* in the end nothing is in progress */
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        fprintf(stderr, "usage: faults SEED COUNT [clean]\n");
        return 2;
    }
    const uint64_t seed = strtoull(argv[1], NULL, 10);
    const unsigned long count = strtoul(argv[2], NULL, 10);
    const bool is_clean = argc > 3;
    for (unsigned long run = 0; run < count; run++) {
        state = seed * 1000003u + run;
        const unsigned coding = dice(3);
        const unsigned level = 1 + dice(3);
        stream.bits = 8 + dice(17);
        make_stream(coding, level);
        printf("s %u\nn %lu\n", stream.bits + 256 * coding + 65536 * level, run);
        script(is_clean);
    }
    return 0;
}
