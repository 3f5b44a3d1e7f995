/*
 * Receiver of exposure streams, version 1, in plain C99: no heap, no floating point.
 * The form of the stream is specified in src/PatternCompiler/BackEnds/ExposureStream/README.md.
 *
 * Two sides share one struct receiver. The link's side (receiver_bytes, receiver_poll, receiver_give_up) runs in the main
 * loop: it checks blocks and puts them into rooms, and it alone sends messages. The writing side (receiver_step,
 * receiver_trigger) runs in the interrupt of a timer: it goes from point to point and from block to block without asking the
 * link, so the beam stays on where a figure goes on in the next block. An interrupt may come anywhere in the main loop;
 * nothing is locked. Both sides have to run on one processor, or in turn in one loop.
 */
#ifndef EXPOSURE_RECEIVER_H
#define EXPOSURE_RECEIVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define RECEIVER_LARGEST_PAYLOAD 512u
#define RECEIVER_ROOM (10u + RECEIVER_LARGEST_PAYLOAD + 4u)
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
    uint8_t bits;           /* of both converters, 8 to 24 */
    uint8_t coding;         /* 0 straight, 1 offset binary, 2 two's complement */
    uint8_t blank_level;    /* how the board is wired: enum receiver_blank_level; streams that state another are refused */
    bool takes_lines;       /* false: only streams of points */
    bool takes_triggers;    /* true: a trigger input is there */
    bool checks_digest;     /* true: the digest of the machine's description has to be the one below */
    uint8_t digest[8];
    uint32_t shortest_ticks;         /* shortest point that the timer can do; streams with shorter ones are refused; 0: any */
    uint32_t timeout_milliseconds;   /* patience with a link that brings nothing, 1000 or more; 0: for ever */
    uint32_t ticks_per_millisecond;  /* to find a timer that has stopped; 0: nobody looks */
};

/* The hardware. Words are in the converters' own coding. Where a hook may be null the board has no such thing. */
struct receiver_hardware {
    void *context;
    void (*move)(void *context, uint32_t x, uint32_t y);
    /* Both what to do and the level that the blank line needs for it on this board: one of the two is enough. */
    void (*beam)(void *context, bool on, bool line_is_high);
    /* May be null: true when the first record starts, false when the stream is over. */
    void (*scan)(void *context, bool on);
    /* May be null: a figure starts. */
    void (*marker)(void *context, uint32_t number);
    /* A message for the sender; called on the link's side only. */
    void (*send)(void *context, const uint8_t *message, size_t length);
    /* May be null: the writing side rests and there is something to write; let the timer call receiver_step at once. */
    void (*wake)(void *context);
    /* May be null: false while the beam must not be on. Asked at each header and before each point; an interlock that opens
     * within a point needs an interrupt that calls receiver_give_up. */
    bool (*interlock_is_closed)(void *context);
    /* May be null: restart the watchdog. Called by receiver_poll as long as link and timer both live. */
    void (*alive)(void *context);
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
    RECEIVER_MACHINE_FAULT = 8,
    RECEIVER_NO_TRIGGER = 9
};

/* What the writing side has begun. */
enum receiver_doing {
    RECEIVER_RESTS = 0,   /* nothing to write, beam off: receiver_step again when wake says so */
    RECEIVER_POINT,       /* beam on, except for a point of 0 ticks, which is passed over */
    RECEIVER_JUMP,        /* beam off, deflection moved */
    RECEIVER_WAIT,        /* beam off */
    RECEIVER_TRIGGER,     /* beam off until receiver_trigger, at most for the ticks */
    RECEIVER_MARKER,      /* these two only within the receiver */
    RECEIVER_END
};

struct receiver_step {
    enum receiver_doing doing;
    uint32_t ticks; /* when they are over call receiver_step again; after 0 ticks at once */
};

/* One thing to do, made ready while the one before it runs. */
struct receiver_action {
    uint8_t doing;
    bool begins_record;
    bool ends_record;
    bool ends_block;
    uint32_t x;
    uint32_t y;
    uint32_t ticks;
};

/* Evenly spaced codes, each rounded half up, by one addition a point. */
struct receiver_axis {
    uint32_t code;
    uint32_t whole;
    uint32_t spare;
    uint32_t room; /* divisor less spare */
    uint32_t carried;
};

struct receiver_line {
    struct receiver_axis x;
    struct receiver_axis y;
    uint32_t left; /* points to come, 0: no line */
    uint32_t each;
    uint32_t more;
    uint32_t room; /* points of the line less more */
    uint32_t carried;
};

enum receiver_state { RECEIVER_SEEKING, RECEIVER_IN_HEADER, RECEIVER_IN_BLOCKS };

struct receiver {
    struct receiver_machine machine;
    struct receiver_hardware hardware;
    uint8_t (*rooms)[RECEIVER_ROOM];
    uint8_t room_count;
    uint8_t word_bytes;
    uint8_t profile;
    /* the link's side */
    uint8_t state;           /* enum receiver_state */
    uint8_t filling;         /* room that bytes go to */
    uint16_t used;           /* bytes in it */
    bool timer_is_dead;
    bool was_busy;
    uint32_t now;            /* milliseconds */
    uint32_t quiet_since;
    uint32_t said_at;
    uint32_t due;            /* when the action in progress is over, with patience */
    uint32_t seen_begun;
    uint64_t records;        /* of all blocks that have been checked */
    uint64_t points;
    uint64_t ticks;
    uint8_t message[RECEIVER_MESSAGE]; /* the last one */
    /* from the link's side to the writing side */
    volatile uint32_t come;  /* blocks checked */
    volatile bool is_open;   /* a stream is in progress */
    volatile bool is_ending; /* after the point in progress */
    volatile bool is_stopped;/* the writing side does nothing any more */
    bool totals_are_right;
    uint8_t end_kind;
    uint8_t end_fault;
    /* from the writing side to the link's side */
    volatile uint32_t done;  /* blocks written completely */
    volatile uint16_t done_records; /* records written completely in the block after those */
    volatile bool is_over;   /* the stream has ended as the three below tell */
    uint8_t over_kind;
    uint8_t over_fault;
    bool over_cut;
    volatile uint8_t doing;  /* of the action in progress */
    volatile uint32_t begun; /* actions begun */
    /* the writing side */
    bool is_scanning;
    bool record_is_open;     /* begun and not complete */
    uint8_t reading;         /* room of the block that is being read */
    uint16_t at;             /* bytes of its payload that have been read */
    uint16_t length;         /* of its payload; 0: none open */
    uint32_t opened;         /* blocks opened */
    struct receiver_action current;
    struct receiver_action next;
    struct receiver_line line;
};

/*
 * Starts idle with the beam off and says so. Call it once after power-up and after every reset; nothing is kept over one.
 * The rooms hold one block each, two at least: as many as estimate says that the link needs. They are the receiver's for good.
 */
void receiver_start(struct receiver *receiver, const struct receiver_machine *machine, const struct receiver_hardware *hardware,
    uint8_t (*rooms)[RECEIVER_ROOM], uint8_t room_count);

/*
 * Takes bytes from the link, in pieces of any size, and returns how many it took: fewer than there are only while all rooms
 * are full, which a sender that waits for credit never sees. The rest stays with the caller. At rest it looks for a header and
 * ignores anything else, zero bytes of a stop too: their answer is the last message, which receiver_poll repeats.
 */
size_t receiver_bytes(struct receiver *receiver, const uint8_t *bytes, size_t count);

/*
 * Sends what is new and repeats the last message every 250 ms, ends a stream whose link or timer has died, and restarts the
 * watchdog. Call it from the main loop at least every 10 ms with a clock of milliseconds, which may wrap.
 */
void receiver_poll(struct receiver *receiver, uint32_t milliseconds);

/*
 * Ends the stream in progress. For RECEIVER_MACHINE_FAULT at once, and this may be called from an interrupt that no other call
 * can interrupt; for others, which belong to the main loop, at the end of the point in progress.
 */
void receiver_give_up(struct receiver *receiver, enum receiver_fault fault);

/* What has begun is over, or wake has been called: goes on to the next thing. From the timer's interrupt. */
struct receiver_step receiver_step(struct receiver *receiver);

/*
 * The trigger input has had its active edge. Ends the wait for it as receiver_step would end another; at any other time it
 * changes nothing and false is returned. Forget an edge that came before receiver_step said RECEIVER_TRIGGER.
 */
bool receiver_trigger(struct receiver *receiver, struct receiver_step *step);

#endif
