#include "receiver.h"

#include <string.h>

enum {
    HEADER_PREFIX = 12,
    SHORTEST_HEADER = 89,
    LONGEST_HEADER = 512,
    MAGIC_LENGTH = 6,
    BLOCK_HEADER = 10,
    CRC_BYTES = 4,
    END_PAYLOAD = 24,
    DIGEST_OFFSET = 76,
    MINOR_VERSION_OFFSET = 7,
    NAME_LENGTH_OFFSET = 84,
    NAME_OFFSET = 85,
    ORIGIN_BYTES = 33, /* from version 1.1 on, behind the name: level of the blank line and two digests */
    LARGEST_CODE_BITS = 24
};

enum { RECORDS_BLOCK = 'R', END_BLOCK = 'E', STOP_BYTE = 0 };

enum { JUMP = 1, DOT = 2, LINE = 3, WAIT = 4, MARKER = 5 };

enum { POINT_WORDS = 5, LINE_WORDS = 11, VALUE_WORDS = 3 };

static const uint8_t magic[MAGIC_LENGTH] = {0x9C, 'P', 'C', 'X', 0x0D, 0x0A};

/* CRC-32C, RFC 3720, half a byte at a time: a table of 64 bytes. */
static uint32_t crc32c(const uint8_t *bytes, size_t count)
{
    static const uint32_t table[16] = {
        0x00000000u, 0x105EC76Fu, 0x20BD8EDEu, 0x30E349B1u, 0x417B1DBCu, 0x5125DAD3u, 0x61C69362u, 0x7198540Du,
        0x82F63B78u, 0x92A8FC17u, 0xA24BB5A6u, 0xB21572C9u, 0xC38D26C4u, 0xD3D3E1ABu, 0xE330A81Au, 0xF36E6F75u};
    uint32_t crc = 0xFFFFFFFFu;
    for (size_t i = 0; i < count; i++) {
        crc ^= bytes[i];
        crc = (crc >> 4) ^ table[crc & 15u];
        crc = (crc >> 4) ^ table[crc & 15u];
    }
    return ~crc;
}

static uint32_t get(const uint8_t *bytes, unsigned count)
{
    uint32_t value = 0;
    for (unsigned i = 0; i < count; i++) {
        value |= (uint32_t)bytes[i] << (8u * i);
    }
    return value;
}

static uint64_t get64(const uint8_t *bytes)
{
    return get(bytes, 4) | (uint64_t)get(bytes + 4, 4) << 32;
}

static void put(uint8_t *bytes, uint32_t value, unsigned count)
{
    for (unsigned i = 0; i < count; i++) {
        bytes[i] = (uint8_t)(value >> (8u * i));
    }
}

void receiver_repeat(struct receiver *receiver)
{
    uint8_t message[RECEIVER_MESSAGE] = {0xA5};
    message[1] = receiver->kind;
    message[2] = receiver->fault;
    message[3] = 0; /* blocks are written as a whole, so no record is ever cut short */
    /* Room for one block: the next one, of whatever type. Outside a stream there is no credit. */
    put(message + 4, receiver->kind == 'C' ? receiver->sequence + 1u : 0u, 4);
    put(message + 8, receiver->sequence, 4);
    put(message + 16, crc32c(message, 16), 4);
    receiver->hardware.send(receiver->hardware.context, message, sizeof message);
}

static void say(struct receiver *receiver, uint8_t kind, enum receiver_fault fault)
{
    receiver->kind = kind;
    receiver->fault = (uint8_t)fault;
    receiver_repeat(receiver);
}

/* Without a blanker the line, if there is one, blanks high. */
static void beam(struct receiver *receiver, bool on)
{
    receiver->hardware.beam(receiver->hardware.context, on, on == (receiver->machine.blank_level == RECEIVER_BLANKS_LOW));
}

static void beam_off(struct receiver *receiver)
{
    beam(receiver, false);
}

static void leave(struct receiver *receiver, uint8_t kind, enum receiver_fault fault)
{
    beam_off(receiver);
    receiver->state = RECEIVER_SEEKING;
    receiver->used = 0;
    say(receiver, kind, fault);
}

void receiver_start(struct receiver *receiver, const struct receiver_machine *machine, const struct receiver_hardware *hardware)
{
    memset(receiver, 0, sizeof *receiver);
    receiver->machine = *machine;
    receiver->hardware = *hardware;
    leave(receiver, 'I', RECEIVER_NO_FAULT);
}

void receiver_give_up(struct receiver *receiver, enum receiver_fault fault)
{
    if (receiver->state != RECEIVER_SEEKING) {
        leave(receiver, 'F', fault);
    } else {
        beam_off(receiver);
    }
}

/* A length and its complement; 0 if they do not belong together. */
static uint32_t checked_length(const uint8_t *bytes)
{
    uint32_t length = get(bytes, 2);
    return (length ^ get(bytes + 2, 2)) == 0xFFFFu ? length : 0;
}

/* ---- header ---- */

static enum receiver_fault check_header(const struct receiver *receiver, uint32_t length)
{
    const uint8_t *header = receiver->buffer;
    const uint32_t origin = NAME_OFFSET + (uint32_t)header[NAME_LENGTH_OFFSET];
    const bool has_origin = header[6] == 1 && header[MINOR_VERSION_OFFSET] != 0;
    if (crc32c(header, length - CRC_BYTES) != get(header + length - CRC_BYTES, 4) ||
        origin + (has_origin ? ORIGIN_BYTES : 0u) + CRC_BYTES > length) {
        return RECEIVER_BAD_HEADER;
    }
    const uint8_t blank_level = has_origin ? header[origin] : RECEIVER_LEVEL_NOT_STATED;
    if (blank_level > RECEIVER_NO_BLANKER) {
        return RECEIVER_BAD_HEADER;
    }
    const uint8_t word_bytes = header[12];
    const uint8_t profile = header[13];
    const struct receiver_machine *machine = &receiver->machine;
    if (header[6] != 1 || word_bytes < 2 || word_bytes > 4 || profile > 1 || get(header + 14, 2) > RECEIVER_LARGEST_PAYLOAD ||
        header[16] != machine->bits || header[17] != machine->coding || 8u * word_bytes < machine->bits ||
        machine->bits > LARGEST_CODE_BITS ||
        (blank_level != RECEIVER_LEVEL_NOT_STATED && blank_level != machine->blank_level) || (profile == 1 && !machine->takes_lines) ||
        (machine->checks_digest && memcmp(header + DIGEST_OFFSET, machine->digest, sizeof machine->digest) != 0)) {
        return RECEIVER_OTHER_MACHINE;
    }
    return RECEIVER_NO_FAULT;
}

static void take_header(struct receiver *receiver)
{
    if (receiver->used < HEADER_PREFIX) {
        return;
    }
    const uint32_t length = checked_length(receiver->buffer + 8);
    if (length < SHORTEST_HEADER || length > LONGEST_HEADER) {
        receiver->sequence = 0; /* no progress: no stream has begun */
        leave(receiver, 'F', RECEIVER_BAD_HEADER);
        return;
    }
    if (receiver->used < length) {
        return;
    }
    const enum receiver_fault fault = check_header(receiver, length);
    receiver->sequence = 0;
    if (fault != RECEIVER_NO_FAULT) {
        leave(receiver, 'F', fault);
        return;
    }
    receiver->word_bytes = receiver->buffer[12];
    receiver->profile = receiver->buffer[13];
    receiver->records = receiver->points = receiver->ticks = 0;
    receiver->used = 0;
    receiver->state = RECEIVER_IN_BLOCKS;
    say(receiver, 'C', RECEIVER_NO_FAULT);
}

/* ---- records ---- */

static unsigned words_of(const struct receiver *receiver, uint32_t kind)
{
    switch (kind) {
    case JUMP:
    case DOT:
        return POINT_WORDS;
    case LINE:
        return receiver->profile == 1 ? LINE_WORDS : 0;
    case WAIT:
    case MARKER:
        return VALUE_WORDS;
    default:
        return 0;
    }
}

static uint32_t word(const struct receiver *receiver, const uint8_t *record, unsigned index)
{
    return get(record + index * receiver->word_bytes, receiver->word_bytes);
}

/* A number in two words; false beyond 32 bits. */
static bool pair(const struct receiver *receiver, const uint8_t *record, unsigned index, uint32_t *value)
{
    const uint64_t both = word(receiver, record, index) |
        (uint64_t)word(receiver, record, index + 1) << (8u * receiver->word_bytes);
    *value = (uint32_t)both;
    return both <= UINT32_MAX;
}

static bool codes_fit(const struct receiver *receiver, const uint8_t *record, unsigned count)
{
    for (unsigned i = 1; i <= count; i++) {
        if (word(receiver, record, i) >> receiver->machine.bits != 0) {
            return false;
        }
    }
    return true;
}

static bool record_is_sound(const struct receiver *receiver, const uint8_t *record, uint32_t kind)
{
    uint32_t a = 0;
    uint32_t b = 0;
    uint32_t c = 0;
    switch (kind) {
    case JUMP:
    case DOT:
        return codes_fit(receiver, record, 2) && pair(receiver, record, 3, &a);
    case LINE:
        return codes_fit(receiver, record, 4) && pair(receiver, record, 5, &a) && pair(receiver, record, 7, &b) &&
            pair(receiver, record, 9, &c) && a >= 1 && a <= INT32_MAX && c < a && (c == 0 || b < UINT32_MAX);
    default:
        return pair(receiver, record, 1, &a);
    }
}

/* Checks a whole payload before any of it is written. */
static bool payload_is_sound(const struct receiver *receiver, const uint8_t *payload, uint32_t length, unsigned stated)
{
    unsigned count = 0;
    while (length > 0) {
        if (length < receiver->word_bytes) {
            return false;
        }
        const uint32_t kind = word(receiver, payload, 0);
        const uint32_t bytes = words_of(receiver, kind) * receiver->word_bytes;
        if (bytes == 0 || bytes > length || !record_is_sound(receiver, payload, kind)) {
            return false;
        }
        payload += bytes;
        length -= bytes;
        count++;
    }
    return count == stated;
}

/* Evenly spaced whole numbers from one end to the other, each rounded half up, without division in the loop. */
struct walk {
    int32_t code;
    int32_t whole;
    int64_t spare;
    int64_t divisor;
    int64_t carried;
};

static struct walk walk_start(int32_t start, int32_t end, uint32_t points)
{
    struct walk walk;
    const int64_t steps = points > 1 ? (int64_t)points - 1 : 1;
    const int64_t distance = 2 * ((int64_t)end - start);
    walk.divisor = 2 * steps;
    int64_t whole = distance / walk.divisor;
    walk.spare = distance % walk.divisor;
    if (walk.spare < 0) {
        walk.spare += walk.divisor;
        whole--;
    }
    walk.whole = (int32_t)whole;
    walk.code = start;
    walk.carried = steps;
    return walk;
}

static void walk_on(struct walk *walk)
{
    walk->code += walk->whole;
    walk->carried += walk->spare;
    if (walk->carried >= walk->divisor) {
        walk->carried -= walk->divisor;
        walk->code++;
    }
}

static void expose(struct receiver *receiver, uint32_t x, uint32_t y, uint32_t ticks)
{
    const struct receiver_hardware *hardware = &receiver->hardware;
    hardware->move(hardware->context, x, y);
    beam(receiver, true);
    hardware->hold(hardware->context, ticks);
    receiver->points++;
    receiver->ticks += ticks;
}

static void write_line(struct receiver *receiver, const uint8_t *record)
{
    uint32_t points = 0;
    uint32_t each = 0;
    uint32_t more = 0;
    (void)pair(receiver, record, 5, &points);
    (void)pair(receiver, record, 7, &each);
    (void)pair(receiver, record, 9, &more);
    const uint32_t flip = receiver->machine.coding == 2 ? (uint32_t)1 << (receiver->machine.bits - 1) : 0;
    struct walk x = walk_start((int32_t)(word(receiver, record, 1) ^ flip), (int32_t)(word(receiver, record, 3) ^ flip), points);
    struct walk y = walk_start((int32_t)(word(receiver, record, 2) ^ flip), (int32_t)(word(receiver, record, 4) ^ flip), points);
    uint32_t carried = 0;
    for (uint32_t i = 0; i < points; i++) {
        uint32_t ticks = each;
        if (carried >= points - more) {
            carried -= points - more;
            ticks++;
        } else {
            carried += more;
        }
        expose(receiver, (uint32_t)x.code ^ flip, (uint32_t)y.code ^ flip, ticks);
        if (i + 1 < points) {
            walk_on(&x);
            walk_on(&y);
        }
    }
}

static void pause(struct receiver *receiver, uint32_t ticks)
{
    receiver->hardware.hold(receiver->hardware.context, ticks);
    receiver->ticks += ticks;
}

static void write_record(struct receiver *receiver, const uint8_t *record, uint32_t kind)
{
    uint32_t value = 0;
    switch (kind) {
    case JUMP:
        beam_off(receiver);
        receiver->hardware.move(receiver->hardware.context, word(receiver, record, 1), word(receiver, record, 2));
        (void)pair(receiver, record, 3, &value);
        pause(receiver, value);
        break;
    case DOT:
        (void)pair(receiver, record, 3, &value);
        expose(receiver, word(receiver, record, 1), word(receiver, record, 2), value);
        break;
    case LINE:
        write_line(receiver, record);
        break;
    case WAIT:
        beam_off(receiver);
        (void)pair(receiver, record, 1, &value);
        pause(receiver, value);
        break;
    default:
        (void)pair(receiver, record, 1, &value);
        receiver->hardware.marker(receiver->hardware.context, value);
        break;
    }
    receiver->records++;
}

/* ---- blocks ---- */

static void take_end(struct receiver *receiver, const uint8_t *payload, uint32_t length)
{
    if (length != END_PAYLOAD || receiver->buffer[1] != 0) {
        leave(receiver, 'F', RECEIVER_BAD_BLOCK);
    } else if (get64(payload) != receiver->records || get64(payload + 8) != receiver->points || get64(payload + 16) != receiver->ticks) {
        leave(receiver, 'F', RECEIVER_BAD_TOTALS);
    } else {
        receiver->sequence++;
        leave(receiver, 'D', RECEIVER_NO_FAULT);
    }
}

static void take_records(struct receiver *receiver, const uint8_t *payload, uint32_t length)
{
    if (!payload_is_sound(receiver, payload, length, receiver->buffer[1])) {
        leave(receiver, 'F', RECEIVER_BAD_RECORD);
        return;
    }
    while (length > 0) {
        const uint32_t kind = word(receiver, payload, 0);
        const uint32_t bytes = words_of(receiver, kind) * receiver->word_bytes;
        write_record(receiver, payload, kind);
        payload += bytes;
        length -= bytes;
    }
    /* The next block is not here yet, and it may never come. */
    beam_off(receiver);
    receiver->used = 0;
    receiver->sequence++;
    say(receiver, 'C', RECEIVER_NO_FAULT);
}

static void take_block(struct receiver *receiver)
{
    const uint8_t *block = receiver->buffer;
    if (receiver->used == 1) {
        if (block[0] == STOP_BYTE) {
            leave(receiver, 'S', RECEIVER_NO_FAULT);
        } else if (block[0] != RECORDS_BLOCK && block[0] != END_BLOCK) {
            leave(receiver, 'F', RECEIVER_BAD_BLOCK);
        }
        return;
    }
    if (receiver->used < BLOCK_HEADER) {
        return;
    }
    const uint32_t length = checked_length(block + 2);
    if (length < 1 || length > RECEIVER_LARGEST_PAYLOAD) {
        leave(receiver, 'F', RECEIVER_BAD_BLOCK);
        return;
    }
    if (receiver->used < BLOCK_HEADER + length + CRC_BYTES) {
        return;
    }
    if (crc32c(block, BLOCK_HEADER + length) != get(block + BLOCK_HEADER + length, 4)) {
        leave(receiver, 'F', RECEIVER_BAD_BLOCK);
    } else if (get(block + 6, 4) != receiver->sequence) {
        leave(receiver, 'F', RECEIVER_BAD_SEQUENCE);
    } else if (block[0] == END_BLOCK) {
        take_end(receiver, block + BLOCK_HEADER, length);
    } else {
        take_records(receiver, block + BLOCK_HEADER, length);
    }
}

/* ---- bytes ---- */

static void seek(struct receiver *receiver, uint8_t byte)
{
    if (byte != magic[receiver->used]) {
        receiver->used = 0; /* the first byte of the magic occurs in it only once */
    }
    if (byte == magic[receiver->used]) {
        receiver->buffer[receiver->used++] = byte;
        if (receiver->used == MAGIC_LENGTH) {
            receiver->state = RECEIVER_IN_HEADER;
        }
    }
}

void receiver_bytes(struct receiver *receiver, const uint8_t *bytes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        switch (receiver->state) {
        case RECEIVER_SEEKING:
            seek(receiver, bytes[i]);
            break;
        case RECEIVER_IN_HEADER:
            receiver->buffer[receiver->used++] = bytes[i];
            take_header(receiver);
            break;
        default:
            receiver->buffer[receiver->used++] = bytes[i];
            take_block(receiver);
            break;
        }
    }
}
