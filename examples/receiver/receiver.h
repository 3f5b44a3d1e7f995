/*
 * Receiver of exposure streams, version 1, in plain C99: no heap, no floating point, less than 1 KB of state.
 * The form of the stream is specified in src/PatternCompiler/BackEnds/ExposureStream/README.md.
 *
 * Feed bytes as they come. A block is buffered until its checksum has been verified, then written while receiver_bytes
 * runs, then the next block is asked for. The beam is on only while a block is being written: whatever happens to the
 * link, it is off whenever receiver_bytes has returned.
 */
#ifndef EXPOSURE_RECEIVER_H
#define EXPOSURE_RECEIVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define RECEIVER_LARGEST_PAYLOAD 512u
#define RECEIVER_BUFFER (10u + RECEIVER_LARGEST_PAYLOAD + 4u)
#define RECEIVER_MESSAGE 20u

/* Level of the blank line with the beam off; a stream may not state it, a board always does. */
enum receiver_blank_level {
    RECEIVER_LEVEL_NOT_STATED = 0,
    RECEIVER_BLANKS_HIGH = 1,
    RECEIVER_BLANKS_LOW = 2,
    RECEIVER_NO_BLANKER = 3
};

/* What this receiver drives. Streams for anything else are refused before the beam is ever on. */
struct receiver_machine {
    uint8_t bits;          /* of both converters, 8 to 24 */
    uint8_t coding;        /* 0 straight, 1 offset binary, 2 two's complement */
    uint8_t blank_level;   /* how the board is wired: enum receiver_blank_level; streams that state another are refused */
    bool takes_lines;      /* false: only streams of points */
    bool checks_digest;    /* true: the digest of the machine's description has to be the one below */
    uint8_t digest[8];
};

/*
 * The hardware. Words are in the converters' own coding. hold returns when the ticks are over. beam is told both what to do
 * and the level that the blank line needs for it on this board: one of the two is enough.
 */
struct receiver_hardware {
    void *context;
    void (*move)(void *context, uint32_t x, uint32_t y);
    void (*beam)(void *context, bool on, bool line_is_high);
    void (*hold)(void *context, uint32_t ticks);
    void (*marker)(void *context, uint32_t number);
    void (*send)(void *context, const uint8_t *message, size_t length);
};

enum receiver_fault {
    RECEIVER_NO_FAULT = 0,
    RECEIVER_BAD_HEADER = 1,
    RECEIVER_OTHER_MACHINE = 2,
    RECEIVER_BAD_BLOCK = 3,
    RECEIVER_BAD_SEQUENCE = 4,
    RECEIVER_BAD_RECORD = 5,
    RECEIVER_STARVED = 6,
    RECEIVER_BAD_TOTALS = 7,
    RECEIVER_MACHINE_FAULT = 8
};

enum receiver_state { RECEIVER_SEEKING, RECEIVER_IN_HEADER, RECEIVER_IN_BLOCKS };

struct receiver {
    struct receiver_machine machine;
    struct receiver_hardware hardware;
    enum receiver_state state;
    uint8_t kind;            /* of the last message: 'I', 'C', 'D', 'F' or 'S' */
    uint8_t fault;           /* of the last message */
    uint8_t word_bytes;
    uint8_t profile;
    uint16_t used;           /* bytes in the buffer */
    uint32_t sequence;       /* number of the next block */
    uint64_t records;
    uint64_t points;
    uint64_t ticks;
    uint8_t buffer[RECEIVER_BUFFER];
};

/* Starts idle with the beam off and says so. Call it once after power-up and after every reset; nothing is kept over one. */
void receiver_start(struct receiver *receiver, const struct receiver_machine *machine, const struct receiver_hardware *hardware);

/*
 * Takes bytes from the link, in pieces of any size. At rest it looks for a header and ignores anything else, zero bytes of a
 * stop too: their answer is the last message, which receiver_repeat sends again.
 */
void receiver_bytes(struct receiver *receiver, const uint8_t *bytes, size_t count);

/* Sends the last message again. Call it every 250 ms while nothing happens. */
void receiver_repeat(struct receiver *receiver);

/* Ends the stream in progress: the link is gone, patience has run out, or the machine objects. */
void receiver_give_up(struct receiver *receiver, enum receiver_fault fault);

#endif
