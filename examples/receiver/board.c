/*
 * An emulated board behind an emulated link: every byte, message and tick has its time, and nothing really waits. A sender that
 * keeps to the credit sends a stream; told is how often the writing stood still because a block had not come, how often of
 * these amid an exposure, with the beam on before and after, and for how long.
 *
 *   board BITS CODING STREAM TICKS_PER_SECOND BYTES_PER_SECOND ROUND_TRIP_MICROSECONDS ROOMS
 *
 * The round trip is the time from a message's being sent to the first byte of the block that is sent for it.
 */
#include "receiver.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

enum { MOST_BYTES = 1 << 22, MOST_MESSAGES = 1 << 16, MOST_ROOMS = 255, HEADER_LENGTH_OFFSET = 8, BLOCK_FRAME = 14, MILLION = 1000000 };

static const int64_t second = (int64_t)MILLION * MILLION; /* picoseconds */
static const int64_t never = INT64_MAX;

struct board {
    int64_t now;
    int64_t half_trip;
    int64_t per_byte;
    int64_t per_tick;
    /* the sender */
    const uint8_t *stream;
    size_t length;
    size_t sent;       /* bytes that have come to the receiver */
    size_t unit_end;   /* end of the header or block on its way */
    int64_t unit_start;/* when its first byte left, less the half trip: at the receiver's end of the link */
    uint32_t blocks_sent;
    uint32_t credit;
    uint8_t kind;
    /* messages on their way to the sender */
    uint8_t messages[MOST_MESSAGES][RECEIVER_MESSAGE];
    int64_t arrivals[MOST_MESSAGES];
    size_t first_message;
    size_t last_message;
    /* the writing */
    bool beam;
    bool is_active;
    bool has_begun;
    bool was_on; /* before the rest */
    int64_t action_end;
    int64_t rest_start;
    uint32_t stalls;
    uint32_t stalls_amid_exposure;
    int64_t stalled;
};

static uint8_t stream[MOST_BYTES];
static uint8_t rooms[MOST_ROOMS][RECEIVER_ROOM];
static struct board board;

static void move(void *context, uint32_t x, uint32_t y)
{
    (void)context;
    (void)x;
    (void)y;
}

static void beam(void *context, bool on, bool line_is_high)
{
    struct board *self = context;
    (void)line_is_high;
    self->beam = on;
}

static void send(void *context, const uint8_t *message, size_t length)
{
    struct board *self = context;
    if (self->last_message == MOST_MESSAGES || length != RECEIVER_MESSAGE) {
        fprintf(stderr, "too many messages\n");
        exit(1);
    }
    for (size_t i = 0; i < length; i++) {
        self->messages[self->last_message][i] = message[i];
    }
    self->arrivals[self->last_message++] = self->now + 2 * self->half_trip;
}

static uint32_t two(const uint8_t *bytes)
{
    return bytes[0] | (uint32_t)bytes[1] << 8;
}

/* Puts the next header or block on the link if it may go. Times are those of the receiver's end: both trips count in one. */
static void start_unit(struct board *self)
{
    if (self->sent < self->unit_end || self->unit_end == self->length) {
        return;
    }
    if (self->unit_end == 0) {
        self->unit_end = two(self->stream + HEADER_LENGTH_OFFSET);
    } else if (self->blocks_sent < self->credit) {
        self->unit_end += BLOCK_FRAME + two(self->stream + self->sent + 2);
        self->blocks_sent++;
    } else {
        return;
    }
    self->unit_start = self->now;
}

static int64_t next_byte(const struct board *self)
{
    return self->sent < self->unit_end ? self->unit_start + self->per_byte : never;
}

static void take_message(struct board *self)
{
    const uint8_t *message = self->messages[self->first_message++];
    self->kind = message[1];
    if (self->kind == 'C') {
        self->credit = two(message + 4) | two(message + 6) << 16;
    }
}

static void take_step(struct board *self, struct receiver *receiver)
{
    const bool was_active = self->is_active;
    const bool beam_before = self->beam;
    const struct receiver_step step = receiver_step(receiver);
    self->is_active = step.doing != RECEIVER_RESTS;
    if (!self->is_active) {
        if (was_active) {
            self->rest_start = self->now;
            self->was_on = beam_before;
        }
        return;
    }
    if (!was_active && self->has_begun && self->now > self->rest_start) {
        self->stalls++;
        self->stalled += self->now - self->rest_start;
        self->stalls_amid_exposure += self->was_on && self->beam ? 1u : 0u;
    }
    self->has_begun = true;
    self->action_end = self->now + self->per_tick * (int64_t)step.ticks;
}

/* A byte that comes as an action ends is there in time. */
static void run(struct board *self, struct receiver *receiver)
{
    while (self->kind != 'D' && self->kind != 'F' && self->kind != 'S') {
        start_unit(self);
        const int64_t byte = next_byte(self);
        const int64_t message = self->first_message < self->last_message ? self->arrivals[self->first_message] : never;
        const int64_t action = self->is_active ? self->action_end : never;
        if (byte == never && message == never && action == never) {
            fprintf(stderr, "everybody waits\n");
            exit(1);
        }
        if (message <= byte && message <= action) {
            self->now = message;
            take_message(self);
        } else if (byte <= action) {
            self->now = self->unit_start = byte;
            if (receiver_bytes(receiver, self->stream + self->sent, 1) != 1) {
                fprintf(stderr, "no room for a block that has credit\n");
                exit(1);
            }
            self->sent++;
            if (!self->is_active) {
                take_step(self, receiver);
            }
        } else {
            self->now = action;
            take_step(self, receiver);
        }
        receiver_poll(receiver, (uint32_t)(self->now / (second / 1000)));
    }
}

int main(int argc, char **argv)
{
    if (argc != 8) {
        fprintf(stderr, "usage: board BITS CODING STREAM TICKS_PER_SECOND BYTES_PER_SECOND ROUND_TRIP_MICROSECONDS ROOMS\n");
        return 2;
    }
    FILE *file = fopen(argv[3], "rb");
    if (file == NULL) {
        perror(argv[3]);
        return 2;
    }
    board.stream = stream;
    board.length = fread(stream, 1, sizeof stream, file);
    fclose(file);
    struct receiver_machine machine = {0};
    machine.bits = (uint8_t)strtoul(argv[1], NULL, 10);
    machine.coding = (uint8_t)strtoul(argv[2], NULL, 10);
    machine.blank_level = RECEIVER_BLANKS_HIGH;
    machine.takes_lines = true;
    board.per_tick = second / strtoll(argv[4], NULL, 10);
    board.per_byte = second / strtoll(argv[5], NULL, 10);
    board.half_trip = strtoll(argv[6], NULL, 10) * MILLION / 2;
    const struct receiver_hardware hardware = {&board, move, beam, NULL, NULL, send, NULL, NULL, NULL};
    struct receiver receiver;
    receiver_start(&receiver, &machine, &hardware, rooms, (uint8_t)strtoul(argv[7], NULL, 10));
    run(&board, &receiver);
    printf("%c %" PRIu32 " %" PRIu32 " %" PRId64 "\n", board.kind, board.stalls, board.stalls_amid_exposure, board.stalled);
    return board.kind == 'D' && !board.beam ? 0 : 1;
}
