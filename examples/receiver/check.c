/* What a receiver checks before it believes: checksums, headers, records. */
#include "parts.h"

#include <string.h>

enum {
    DIGEST_OFFSET = 76,
    MINOR_VERSION_OFFSET = 7,
    SHORTEST_DWELL_OFFSET = 60,
    NAME_LENGTH_OFFSET = 84,
    NAME_OFFSET = 85,
    ORIGIN_BYTES = 33, /* from version 1.1 on, behind the name: level of the blank line and two digests */
    LARGEST_CODE_BITS = 24
};

enum { POINT_WORDS = 5, LINE_WORDS = 11, VALUE_WORDS = 3 };

/* CRC-32C, RFC 3720, half a byte at a time: a table of 64 bytes. */
uint32_t receiver_crc(const uint8_t *bytes, size_t count)
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

uint32_t receiver_get(const uint8_t *bytes, unsigned count)
{
    uint32_t value = 0;
    for (unsigned i = 0; i < count; i++) {
        value |= (uint32_t)bytes[i] << (8u * i);
    }
    return value;
}

/* ---- header ---- */

static bool is_for(const struct receiver_machine *machine, const uint8_t *header, uint8_t blank_level)
{
    const uint8_t word_bytes = header[12];
    const uint8_t profile = header[13];
    const uint64_t shortest = receiver_get(header + SHORTEST_DWELL_OFFSET, 4) |
        (uint64_t)receiver_get(header + SHORTEST_DWELL_OFFSET + 4, 4) << 32;
    return header[6] == 1 && word_bytes >= 2 && word_bytes <= 4 && profile < MOST_PROFILES &&
        receiver_get(header + 14, 2) <= RECEIVER_LARGEST_PAYLOAD && header[16] == machine->bits && header[17] == machine->coding &&
        8u * word_bytes >= machine->bits && machine->bits <= LARGEST_CODE_BITS &&
        (blank_level == RECEIVER_LEVEL_NOT_STATED || blank_level == machine->blank_level) &&
        ((profile & PROFILE_LINES) == 0 || machine->takes_lines) && ((profile & PROFILE_TRIGGERS) == 0 || machine->takes_triggers) &&
        shortest >= machine->shortest_ticks &&
        (!machine->checks_digest || memcmp(header + DIGEST_OFFSET, machine->digest, sizeof machine->digest) == 0);
}

enum receiver_fault receiver_check_header(const struct receiver_machine *machine, const uint8_t *header, uint32_t length)
{
    const uint32_t origin = NAME_OFFSET + (uint32_t)header[NAME_LENGTH_OFFSET];
    const bool has_origin = header[6] == 1 && header[MINOR_VERSION_OFFSET] != 0;
    if (receiver_crc(header, length - CRC_BYTES) != receiver_get(header + length - CRC_BYTES, 4) ||
        origin + (has_origin ? ORIGIN_BYTES : 0u) + CRC_BYTES > length) {
        return RECEIVER_BAD_HEADER;
    }
    const uint8_t blank_level = has_origin ? header[origin] : RECEIVER_LEVEL_NOT_STATED;
    if (blank_level > RECEIVER_NO_BLANKER) {
        return RECEIVER_BAD_HEADER;
    }
    return is_for(machine, header, blank_level) ? RECEIVER_NO_FAULT : RECEIVER_OTHER_MACHINE;
}

/* ---- records ---- */

unsigned receiver_record_bytes(const struct receiver *receiver, uint32_t kind)
{
    switch (kind) {
    case JUMP:
    case DOT:
        return POINT_WORDS * receiver->word_bytes;
    case LINE:
        return (receiver->profile & PROFILE_LINES) != 0 ? LINE_WORDS * receiver->word_bytes : 0u;
    case TRIGGER:
        return (receiver->profile & PROFILE_TRIGGERS) != 0 ? VALUE_WORDS * receiver->word_bytes : 0u;
    case WAIT:
    case MARKER:
        return VALUE_WORDS * receiver->word_bytes;
    default:
        return 0;
    }
}

uint32_t receiver_word(const struct receiver *receiver, const uint8_t *record, unsigned index)
{
    return receiver_get(record + index * receiver->word_bytes, receiver->word_bytes);
}

bool receiver_pair(const struct receiver *receiver, const uint8_t *record, unsigned index, uint32_t *value)
{
    const uint64_t both = receiver_word(receiver, record, index) |
        (uint64_t)receiver_word(receiver, record, index + 1) << (8u * receiver->word_bytes);
    *value = (uint32_t)both;
    return both <= UINT32_MAX;
}

static bool codes_fit(const struct receiver *receiver, const uint8_t *record, unsigned count)
{
    for (unsigned i = 1; i <= count; i++) {
        if (receiver_word(receiver, record, i) >> receiver->machine.bits != 0) {
            return false;
        }
    }
    return true;
}

static bool take_record(const struct receiver *receiver, const uint8_t *record, uint32_t kind, struct receiver_totals *totals)
{
    uint32_t ticks = 0;
    uint32_t points = 0;
    uint32_t more = 0;
    totals->records++;
    switch (kind) {
    case JUMP:
    case DOT:
        if (!codes_fit(receiver, record, 2) || !receiver_pair(receiver, record, 3, &ticks) ||
            (kind == DOT && ticks < receiver->machine.shortest_ticks)) {
            return false;
        }
        totals->points += kind == DOT ? 1u : 0u;
        totals->ticks += ticks;
        return true;
    case LINE:
        if (!codes_fit(receiver, record, 4) || !receiver_pair(receiver, record, 5, &points) ||
            !receiver_pair(receiver, record, 7, &ticks) || !receiver_pair(receiver, record, 9, &more) || points < 1 ||
            points > INT32_MAX || more >= points || (more != 0 && ticks == UINT32_MAX) || ticks < receiver->machine.shortest_ticks) {
            return false;
        }
        totals->points += points;
        totals->ticks += (uint64_t)points * ticks + more;
        return true;
    default:
        if (!receiver_pair(receiver, record, 1, &ticks) || (kind == TRIGGER && ticks == 0)) {
            return false;
        }
        totals->ticks += kind == WAIT ? ticks : 0u;
        return true;
    }
}

bool receiver_payload_is_sound(const struct receiver *receiver, const uint8_t *payload, uint32_t length, unsigned stated, struct receiver_totals *totals)
{
    unsigned count = 0;
    while (length > 0) {
        if (length < receiver->word_bytes) {
            return false;
        }
        const uint32_t kind = receiver_word(receiver, payload, 0);
        const uint32_t bytes = receiver_record_bytes(receiver, kind);
        if (bytes == 0 || bytes > length || !take_record(receiver, payload, kind, totals)) {
            return false;
        }
        payload += bytes;
        length -= bytes;
        count++;
    }
    return count == stated;
}
