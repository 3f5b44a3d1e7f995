/* The link's side: bytes into blocks, blocks into rooms, messages out. */
#include "parts.h"

#include <string.h>

enum { HEADER_PREFIX = 12, SHORTEST_HEADER = 89, LONGEST_HEADER = 512, MAGIC_LENGTH = 6 };

enum { REPEAT_MILLISECONDS = 250, TIMER_PATIENCE_MILLISECONDS = 100 };

static const uint8_t magic[MAGIC_LENGTH] = {0x9C, 'P', 'C', 'X', 0x0D, 0x0A};

/* ---- messages ---- */

static void put(uint8_t *bytes, uint32_t value, unsigned count)
{
    for (unsigned i = 0; i < count; i++) {
        bytes[i] = (uint8_t)(value >> (8u * i));
    }
}

static void repeat(struct receiver *receiver)
{
    receiver->said_at = receiver->now;
    put(receiver->message + 16, receiver_crc(receiver->message, 16), 4);
    receiver->hardware.send(receiver->hardware.context, receiver->message, sizeof receiver->message);
}

/* Outside a stream there is no credit. */
static void say(struct receiver *receiver, uint8_t kind, uint8_t fault, bool cut, uint32_t blocks, uint32_t records)
{
    receiver->message[0] = 0xA5;
    receiver->message[1] = kind;
    receiver->message[2] = fault;
    receiver->message[3] = cut ? 1 : 0;
    put(receiver->message + 4, kind == 'C' ? blocks + receiver->room_count : 0u, 4);
    put(receiver->message + 8, blocks, 4);
    put(receiver->message + 12, records, 4);
    repeat(receiver);
}

/* The writing side may go on while its two counters are read. */
static void say_progress(struct receiver *receiver)
{
    uint32_t blocks = 0;
    uint32_t records = 0;
    do {
        blocks = receiver->done;
        records = receiver->done_records;
    } while (blocks != receiver->done);
    say(receiver, 'C', RECEIVER_NO_FAULT, false, blocks, records);
}

/* At rest from now on. The header or its place among the blocks did not begin a stream, so there is no progress. */
static void refuse(struct receiver *receiver, enum receiver_fault fault)
{
    receiver_beam(receiver, false);
    receiver->state = RECEIVER_SEEKING;
    receiver->used = 0;
    say(receiver, 'F', (uint8_t)fault, false, 0, 0);
}

/* If the writing side has ended the stream the link's side leaves it too, and says so. */
static bool settle(struct receiver *receiver)
{
    if (receiver->state != RECEIVER_IN_BLOCKS || !receiver->is_over) {
        return false;
    }
    RECEIVER_BARRIER();
    receiver->is_open = false;
    receiver->state = RECEIVER_SEEKING;
    receiver->used = 0;
    say(receiver, receiver->over_kind, receiver->over_fault, receiver->over_cut, receiver->done, receiver->done_records);
    return true;
}

/* At the end of the point in progress, or at once: where the beam is off anyway, or where there is a reason. */
static void end_stream(struct receiver *receiver, uint8_t kind, enum receiver_fault fault, bool at_once)
{
    receiver->end_kind = kind;
    receiver->end_fault = (uint8_t)fault;
    RECEIVER_BARRIER();
    receiver->is_ending = true;
    RECEIVER_BARRIER();
    if (at_once || receiver->doing != RECEIVER_POINT) {
        receiver->is_stopped = true;
        RECEIVER_BARRIER();
        if (!receiver->is_over) {
            receiver_conclude(receiver, kind, fault);
        }
    }
}

void receiver_give_up(struct receiver *receiver, enum receiver_fault fault)
{
    if (receiver->is_open) {
        end_stream(receiver, 'F', fault, fault == RECEIVER_MACHINE_FAULT);
    } else {
        receiver_beam(receiver, false);
    }
}

void receiver_start(struct receiver *receiver, const struct receiver_machine *machine, const struct receiver_hardware *hardware,
    uint8_t (*rooms)[RECEIVER_ROOM], uint8_t room_count)
{
    memset(receiver, 0, sizeof *receiver);
    receiver->machine = *machine;
    receiver->hardware = *hardware;
    receiver->rooms = rooms;
    receiver->room_count = room_count;
    receiver_beam(receiver, false);
    receiver_rewind(receiver);
    say(receiver, 'I', RECEIVER_NO_FAULT, false, 0, 0);
}

/* A length and its complement; 0 if they do not belong together. */
static uint32_t checked_length(const uint8_t *bytes)
{
    const uint32_t length = receiver_get(bytes, 2);
    return (length ^ receiver_get(bytes + 2, 2)) == 0xFFFFu ? length : 0;
}

/* ---- header ---- */

static void take_header(struct receiver *receiver)
{
    const uint8_t *header = receiver->rooms[receiver->filling];
    if (receiver->used < HEADER_PREFIX) {
        return;
    }
    const uint32_t length = checked_length(header + 8);
    if (length < SHORTEST_HEADER || length > LONGEST_HEADER) {
        refuse(receiver, RECEIVER_BAD_HEADER);
        return;
    }
    if (receiver->used < length) {
        return;
    }
    enum receiver_fault fault = receiver_check_header(&receiver->machine, header, length);
    if (fault == RECEIVER_NO_FAULT && receiver->hardware.interlock_is_closed != NULL &&
        !receiver->hardware.interlock_is_closed(receiver->hardware.context)) {
        fault = RECEIVER_MACHINE_FAULT;
    }
    if (fault != RECEIVER_NO_FAULT) {
        refuse(receiver, fault);
        return;
    }
    receiver->word_bytes = header[12];
    receiver->profile = header[13];
    receiver->records = receiver->points = receiver->ticks = 0;
    receiver->filling = 0;
    receiver->used = 0;
    receiver_rewind(receiver);
    receiver->state = RECEIVER_IN_BLOCKS;
    RECEIVER_BARRIER();
    receiver->is_open = true;
    say_progress(receiver);
}

/* ---- blocks ---- */

static void publish(struct receiver *receiver)
{
    receiver->used = 0;
    receiver->filling = (uint8_t)(receiver->filling + 1u == receiver->room_count ? 0u : receiver->filling + 1u);
    RECEIVER_BARRIER();
    receiver->come++;
    RECEIVER_BARRIER();
    if (receiver->doing == RECEIVER_RESTS && receiver->hardware.wake != NULL) {
        receiver->hardware.wake(receiver->hardware.context);
    }
}

/* Its totals count when everything before it is written. */
static enum receiver_fault take_end(struct receiver *receiver, const uint8_t *block, uint32_t length)
{
    const uint8_t *payload = block + BLOCK_HEADER;
    uint64_t stated[3];
    if (length != END_PAYLOAD || block[1] != 0) {
        return RECEIVER_BAD_BLOCK;
    }
    for (unsigned i = 0; i < 3; i++) {
        stated[i] = receiver_get(payload + 8 * i, 4) | (uint64_t)receiver_get(payload + 8 * i + 4, 4) << 32;
    }
    receiver->totals_are_right = stated[0] == receiver->records && stated[1] == receiver->points && stated[2] == receiver->ticks;
    return RECEIVER_NO_FAULT;
}

static enum receiver_fault take_records(struct receiver *receiver, const uint8_t *block, uint32_t length)
{
    struct receiver_totals totals = {receiver->records, receiver->points, receiver->ticks};
    if (!receiver_payload_is_sound(receiver, block + BLOCK_HEADER, length, block[1], &totals)) {
        return RECEIVER_BAD_RECORD;
    }
    receiver->records = totals.records;
    receiver->points = totals.points;
    receiver->ticks = totals.ticks;
    return RECEIVER_NO_FAULT;
}

static void take_block(struct receiver *receiver)
{
    const uint8_t *block = receiver->rooms[receiver->filling];
    if (receiver->used < BLOCK_HEADER) {
        return;
    }
    const uint32_t length = checked_length(block + 2);
    if (length < 1 || length > RECEIVER_LARGEST_PAYLOAD) {
        end_stream(receiver, 'F', RECEIVER_BAD_BLOCK, false);
        return;
    }
    if (receiver->used < BLOCK_HEADER + length + CRC_BYTES) {
        return;
    }
    enum receiver_fault fault = RECEIVER_NO_FAULT;
    if (receiver_crc(block, BLOCK_HEADER + length) != receiver_get(block + BLOCK_HEADER + length, CRC_BYTES)) {
        fault = RECEIVER_BAD_BLOCK;
    } else if (receiver_get(block + 6, 4) != receiver->come) {
        fault = RECEIVER_BAD_SEQUENCE;
    } else {
        fault = block[0] == END_BLOCK ? take_end(receiver, block, length) : take_records(receiver, block, length);
    }
    if (fault == RECEIVER_NO_FAULT) {
        publish(receiver);
    } else {
        end_stream(receiver, 'F', fault, false);
    }
}

/* The first byte of a block; false where it has no room yet. */
static bool take_type(struct receiver *receiver, uint8_t byte)
{
    if (byte == STOP_BYTE) {
        end_stream(receiver, 'S', RECEIVER_NO_FAULT, false);
    } else if (byte != RECORDS_BLOCK && byte != END_BLOCK) {
        end_stream(receiver, 'F', RECEIVER_BAD_BLOCK, false);
    } else if (receiver->come - receiver->done == receiver->room_count) {
        return false;
    } else {
        receiver->rooms[receiver->filling][receiver->used++] = byte;
    }
    return true;
}

/* ---- bytes ---- */

static void seek(struct receiver *receiver, uint8_t byte)
{
    if (byte != magic[receiver->used]) {
        receiver->used = 0; /* the first byte of the magic occurs in it only once */
    }
    if (byte == magic[receiver->used]) {
        receiver->rooms[receiver->filling][receiver->used++] = byte;
        if (receiver->used == MAGIC_LENGTH) {
            receiver->state = RECEIVER_IN_HEADER;
        }
    }
}

static bool take(struct receiver *receiver, uint8_t byte)
{
    switch (receiver->state) {
    case RECEIVER_SEEKING:
        seek(receiver, byte);
        break;
    case RECEIVER_IN_HEADER:
        receiver->rooms[receiver->filling][receiver->used++] = byte;
        take_header(receiver);
        break;
    default:
        if (receiver->is_ending) {
            break; /* of the stream that ends with the point in progress */
        }
        if (receiver->used == 0) {
            return take_type(receiver, byte);
        }
        receiver->rooms[receiver->filling][receiver->used++] = byte;
        take_block(receiver);
        break;
    }
    return true;
}

size_t receiver_bytes(struct receiver *receiver, const uint8_t *bytes, size_t count)
{
    size_t taken = 0;
    while (taken < count) {
        (void)settle(receiver);
        if (!take(receiver, bytes[taken])) {
            break;
        }
        taken++;
        (void)settle(receiver);
    }
    if (taken > 0) {
        receiver->quiet_since = receiver->now;
    }
    return taken;
}

/* ---- time ---- */

/* What has begun should be over by now, and what has come should have begun. */
static bool timer_has_stopped(struct receiver *receiver)
{
    const uint32_t per_millisecond = receiver->machine.ticks_per_millisecond;
    const bool is_busy = receiver->doing != RECEIVER_RESTS || receiver->come != receiver->done;
    if (per_millisecond == 0 || !is_busy || !receiver->was_busy || receiver->begun != receiver->seen_begun) {
        receiver->was_busy = is_busy;
        receiver->seen_begun = receiver->begun;
        receiver->due = receiver->now + TIMER_PATIENCE_MILLISECONDS;
        if (per_millisecond > 0 && receiver->doing != RECEIVER_RESTS) {
            receiver->due += receiver->current.ticks / per_millisecond;
        }
        return false;
    }
    return (int32_t)(receiver->now - receiver->due) > 0;
}

static bool has_starved(struct receiver *receiver)
{
    if (receiver->doing != RECEIVER_RESTS || receiver->come != receiver->done) {
        receiver->quiet_since = receiver->now;
        return false;
    }
    return receiver->machine.timeout_milliseconds > 0 && receiver->now - receiver->quiet_since >= receiver->machine.timeout_milliseconds;
}

void receiver_poll(struct receiver *receiver, uint32_t milliseconds)
{
    receiver->now = milliseconds;
    if (!settle(receiver) && receiver->state == RECEIVER_IN_BLOCKS) {
        if (timer_has_stopped(receiver)) {
            receiver->timer_is_dead = true;
            end_stream(receiver, 'F', RECEIVER_MACHINE_FAULT, true);
        } else if (!receiver->is_ending && has_starved(receiver)) {
            end_stream(receiver, 'F', RECEIVER_STARVED, false);
        }
        if (!settle(receiver) && receiver->done != receiver_get(receiver->message + 8, 4)) {
            say_progress(receiver);
        }
    }
    if (receiver->now - receiver->said_at >= REPEAT_MILLISECONDS) {
        if (receiver->state == RECEIVER_IN_BLOCKS) {
            say_progress(receiver);
        } else {
            repeat(receiver);
        }
    }
    if (!receiver->timer_is_dead && receiver->hardware.alive != NULL) {
        receiver->hardware.alive(receiver->hardware.context);
    }
}
