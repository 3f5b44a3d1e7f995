/* What the parts of the receiver share: link.c and its checks, and write.c. Not for boards. */
#ifndef EXPOSURE_RECEIVER_PARTS_H
#define EXPOSURE_RECEIVER_PARTS_H

#include "receiver.h"

/*
 * Between what an interrupt may see and the word that it is there. One processor with interrupts needs no more than that the
 * compiler keeps the order; other compilers than those below have to say how.
 */
#ifndef RECEIVER_BARRIER
#if defined(__GNUC__) || defined(__clang__)
#define RECEIVER_BARRIER() __sync_synchronize()
#else
#error "define RECEIVER_BARRIER() as what keeps this compiler from moving loads and stores"
#endif
#endif

enum { BLOCK_HEADER = 10, CRC_BYTES = 4, END_PAYLOAD = 24 };

enum { RECORDS_BLOCK = 'R', END_BLOCK = 'E', STOP_BYTE = 0 };

enum { JUMP = 1, DOT = 2, LINE = 3, WAIT = 4, MARKER = 5, TRIGGER = 6 };

/* Bits of the header's profile. */
enum { PROFILE_LINES = 1, PROFILE_TRIGGERS = 2, MOST_PROFILES = 4 };

/* Records, points and ticks of checked records. */
struct receiver_totals {
    uint64_t records;
    uint64_t points;
    uint64_t ticks;
};

uint32_t receiver_get(const uint8_t *bytes, unsigned count);
uint32_t receiver_crc(const uint8_t *bytes, size_t count);
enum receiver_fault receiver_check_header(const struct receiver_machine *machine, const uint8_t *header, uint32_t length);

/* Bytes of a record of a kind in this stream; 0 for a kind that it cannot hold. */
unsigned receiver_record_bytes(const struct receiver *receiver, uint32_t kind);
uint32_t receiver_word(const struct receiver *receiver, const uint8_t *record, unsigned index);
/* A number in two words; false beyond 32 bits. */
bool receiver_pair(const struct receiver *receiver, const uint8_t *record, unsigned index, uint32_t *value);
/* Checks a whole payload before any of it is written and counts what it holds. */
bool receiver_payload_is_sound(const struct receiver *receiver, const uint8_t *payload, uint32_t length, unsigned stated, struct receiver_totals *totals);

/* The writing side, before a stream begins. */
void receiver_rewind(struct receiver *receiver);
void receiver_beam(const struct receiver *receiver, bool on);
/* Ends the stream where it is, with the beam off: is_over from now on. */
void receiver_conclude(struct receiver *receiver, uint8_t kind, enum receiver_fault fault);

#endif
