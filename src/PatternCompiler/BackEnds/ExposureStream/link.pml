/*
 * The protocol of the section "On a link" of README.md, for the model checker SPIN: sender, receiver, the link between them
 * and the operator. Every record is a block of its own. The link keeps order, loses, damages and delays; it never swaps or
 * doubles. The receiver may be reset, the sender killed, the operator may interrupt, at any moment.
 *
 *   spin -DKILLS=0 -a link.pml && cc -O2 -DSAFETY -DCOLLAPSE -o pan pan.c && ./pan -m200000
 *
 * pan exits with 0 whatever it finds: read its text. Checked are the assertions and that nobody waits for ever. -DSOUND
 * takes all faults away and demands success. Each name WRONG_... breaks one rule of the page, and the check has to fail
 * with it; LYING_... are receivers that break the page so that a sender has to see through them. LinkModelTests runs all.
 */
#ifndef RECORDS
#define RECORDS 2     /* of the exposure */
#endif
#define WINDOW 2      /* blocks that the receiver buffers, the one in progress included */
#ifdef SOUND
#define FAULTS 0
#define RESETS 0
#define STOPS 0
#define KILLS 0
#define RUNS 1
#define RESTARTS 0
#endif
#ifndef FAULTS
#define FAULTS 1      /* times that the link loses or damages something, or the receiver is out of patience */
#endif
#ifndef RESETS
#define RESETS 1      /* of the receiver */
#endif
#ifndef STOPS
#define STOPS 1       /* by the operator */
#endif
#ifndef KILLS
#define KILLS 1       /* of the sender */
#endif
#ifndef RUNS
#define RUNS 2        /* of the sender, one after the other */
#endif
#ifndef RESTARTS
#define RESTARTS 1    /* within a run */
#endif
#define HEADERS 2     /* tries to get a header accepted */
#define NONE 255

mtype:down = { HEADER, BLOCK, END, STOP };
mtype:up = { IDLE, CREDIT, DONE, FAULT, REFUSED, STOPPED };  /* REFUSED is fault 1, which answers a header */
mtype:claim = { NOTHING, ALL, EXACTLY, CUT, ATLEAST, NOANSWER };

chan toReceiver = [3] of { mtype:down, byte, byte };         /* number of the block; record, or records of the stream */
chan toSender = [2] of { mtype:up, byte, byte, bit };        /* credit, blocks written, cut */

/* The truth, which nobody of them sees. */
byte begun[RECORDS];      /* how often a record's exposure was begun ... */
byte written[RECORDS];    /* ... and how often it came to its end */
bool beam;
byte asked;               /* first record that the operator asked for with knowledge of what he does; NONE: no word of his */

/* What the sender's last run has told the operator. */
mtype:claim told = NOTHING;
byte toldWritten, toldSent;

byte faults = FAULTS, resets = RESETS, stops = STOPS, kills = KILLS;
bool killed;

/* ---------------------------------------------------------------- receiver */

bool inStream, ended;
byte expected, blocks, total, now = NONE;
chan store = [WINDOW] of { byte };
mtype:up kind;
byte credit;
bit cut;

inline say(k)
{
    kind = k;
    credit = blocks + WINDOW;
    if
    :: nfull(toSender) -> toSender ! kind, credit, blocks, cut
    :: full(toSender)                            /* lost in a full buffer; it is repeated */
    fi
}

inline forget()
{
    do
    :: store ? _
    :: empty(store) -> break
    od
}

inline atRest(k)
{
#ifndef WRONG_RECEIVER_KEEPS_BLOCKS
    forget();
#endif
    beam = false;
    inStream = false;
    ended = false;
    say(k)
}

/* A fault or a stop: beam off at once, or at the end of the point in progress. */
inline leave(k)
{
    if
    :: now != NONE ->
        if
        :: written[now]++; blocks++              /* it was the record's last point */
        ::
#ifndef WRONG_RECEIVER_HIDES_CUT
            cut = 1
#else
            skip
#endif
        fi
    :: else
    fi;
    now = NONE;
    atRest(k)
}

inline takeHeader(firstRecord)
{
    if
    :: inStream -> leave(FAULT)                  /* no type of a block */
    :: else ->
        if
        :: asked != NONE ->                      /* what was there before is the operator's business */
            n = 0;
            do
            :: n < RECORDS -> if :: n >= asked -> begun[n] = 0; written[n] = 0 :: else fi; n++
            :: else -> break
            od;
            asked = NONE
        :: else
        fi;
        inStream = true;
        expected = 0;
        blocks = 0;
        total = 0;
        cut = 0;
        say(CREDIT)
    fi
}

inline withinCredit()
{
    assert(len(store) + (now != NONE -> 1 : 0) < WINDOW)
}

inline takeBlock(number, record)
{
    if
    :: !inStream                                 /* anything but a header is ignored at rest */
#ifndef WRONG_RECEIVER_IGNORES_GAPS
    :: inStream && number != expected -> leave(FAULT)
#endif
    :: else ->
        withinCredit();
        store ! record;
        expected++;
        total++
    fi
}

inline takeEnd(number, records)
{
    if
    :: !inStream
    :: inStream && number != expected -> leave(FAULT)
    :: else -> withinCredit(); ended = true; stated = records
    fi
}

active proctype Receiver()
{
    mtype:down what;
    byte number, value, n, stated;


#ifndef EARLIER
    atomic { say(IDLE) }
#else
    atomic { blocks = RECORDS + 1; say(DONE) }   /* it has done an exposure before */
#endif
    do
    :: atomic { toReceiver ? what, number, value ->
        if
        :: what == HEADER -> takeHeader(value)
        :: what == BLOCK -> takeBlock(number, value)
        :: what == END -> takeEnd(number, value)
        :: what == STOP -> if :: inStream -> leave(STOPPED) :: else fi   /* at rest the last message is the answer */
        fi; what = 0; number = 0; value = 0; n = 0 }

    /* damaged on the way */
    :: atomic { faults > 0 && nempty(toReceiver) -> toReceiver ? what, number, value; faults--;
        if
#ifdef WRONG_RECEIVER_SKIPS_CRC
        :: inStream && what == BLOCK -> takeBlock(number, RECORDS - 1 - value)
        :: inStream && what != BLOCK -> leave(FAULT)
#else
        :: inStream -> leave(FAULT)
#endif
        :: !inStream && what == HEADER -> blocks = 0; cut = 0; atRest(REFUSED)
        :: !inStream                             /* not even known for a header */
        fi; what = 0; number = 0; value = 0 }

    /* a record is begun */
    :: atomic { now == NONE && nempty(store) && (inStream
#ifdef WRONG_RECEIVER_KEEPS_BLOCKS
        || true
#endif
        ) -> store ? now;
        assert(begun[now] == 0);                 /* nothing is written twice without the operator's word */
        assert(told != EXACTLY && told != CUT && told != ALL);   /* the operator was told that nothing is */
        assert(told != ATLEAST || now < toldSent);
        begun[now]++;
        beam = true }

    /* and comes to its end */
    :: atomic { now != NONE -> written[now]++; now = NONE; blocks++;
#ifndef WRONG_RECEIVER_STARVES_WITH_BEAM
        if :: empty(store) -> beam = false :: nempty(store) fi;
#endif
        say(CREDIT) }

    /* everything is written, or something else than the sender meant */
    :: atomic { ended && now == NONE && empty(store) ->
        if
#ifndef WRONG_RECEIVER_SKIPS_TOTALS
        :: total != stated -> leave(FAULT)
#endif
        :: else -> blocks++; atRest(DONE)
        fi; stated = 0 }

    /* nothing comes for longer than its patience */
    :: atomic { faults > 0 && inStream && !ended && now == NONE && empty(store) -> faults--; leave(FAULT) }

    /* every 250 ms */
    :: atomic { empty(toSender) -> toSender ! kind, credit, blocks, cut }

    /* reset: brown-out, watchdog, somebody's finger */
    :: atomic { resets > 0 -> resets--;
        now = NONE; blocks = 0; cut = 0; total = 0; expected = 0; stated = 0;
#ifndef WRONG_RECEIVER_STARTS_WITH_BEAM
        beam = false;
#endif
        forget(); inStream = false; ended = false; say(IDLE) }

#ifdef LYING_RECEIVER_DONE_EARLY
    :: atomic { inStream && blocks == 1 && now == NONE -> atRest(DONE) }
#endif
#ifdef LYING_RECEIVER_CLAIMS_MORE
    :: atomic { inStream && blocks == 0 && now == NONE && empty(store) -> blocks = RECORDS + 2; say(CREDIT); blocks = 0; credit = WINDOW }
#endif

    /* nothing moves any more: the sender is gone */
    :: timeout -> atomic {
        if
        :: inStream -> assert(!beam); leave(FAULT)
        :: else -> assert(!beam && now == NONE); break
        fi }
    od
}

/* -------------------------------------------------------------------- link */

active proctype Loss()
{
endLoss:
    do
    :: atomic { faults > 0 && nempty(toReceiver) -> toReceiver ? _, _, _; faults-- }
    :: atomic { faults > 0 && nempty(toSender) -> toSender ? _, _, _, _; faults-- }
    od
}

/* ------------------------------------------------------------------ sender */

#define QUIET (empty(toReceiver) && empty(toSender))   /* what was sent before the wait began has come, or never will */
#define RESTS(k) (k == IDLE || k == DONE || k == FAULT || k == REFUSED || k == STOPPED)

inline clear()
{
    k = 0; c = 0; b = 0; x = 0
}

inline tell(c, w, s)
{
    d_step { toldWritten = w; toldSent = s; told = c }
}

/* Takes over the receiver's word, compared with what it said before and what it was sent. */
inline hear()
{
    if
#ifndef WRONG_SENDER_IGNORES_RESET
    :: k == IDLE -> doubt = true
#else
    :: k == IDLE -> skip
#endif
#ifndef WRONG_SENDER_BELIEVES_MORE
    :: k != IDLE && b > next -> doubt = true     /* only a liar gets here */
#endif
    :: k != IDLE && b < known -> doubt = true    /* only a liar gets here */
#ifndef WRONG_SENDER_BELIEVES_DONE
    :: k == DONE && !(b < known || b > next) && (!endSent || b + 1 < next || x == 1) -> doubt = true   /* only a liar gets here */
#endif
    :: else -> known = b; isCut = x; done = (k == DONE); if :: k == CREDIT -> granted = c :: else fi
    fi
}

/* Stops the receiver; its answer is known by the order of messages, and in the first stop of a run by time. */
inline stopReceiver(isFirst)
{
    rests = false;
    toReceiver ! STOP, 0, 0;
#ifndef WRONG_SENDER_TAKES_OLD_MESSAGES
    old = isFirst;
#endif
    do
    :: atomic { toSender ? k, c, b, x ->
        if :: accepted && !doubt -> hear() :: else fi;
        if
        :: RESTS(k) && !old -> rests = true; beforeKind = k; beforeBlocks = b; clear(); break
        :: else -> clear()
        fi }
    :: atomic { old && QUIET -> old = false }
#ifndef SOUND
    :: atomic { !old -> break }                  /* patience is over */
#endif
    od
}

#define KNOWN (first + known)              /* records of the exposure, not of the stream sent */
#define SENT (first + next - endSent)

proctype Sender(byte from)
{
    mtype:up k, beforeKind;
    byte c, b, first, granted, next, known, beforeBlocks, tries, restarts;
    bit x;
    bool accepted, endSent, done, isCut, doubt, rests, old, wanted, halted;

    {
    first = from;
    stopReceiver(true);
    if :: rests :: else -> tell(NOANSWER, 0, RECORDS); goto over fi;

again:
    atomic { accepted = false; endSent = false; done = false; isCut = false; doubt = false; halted = false;
        granted = 0; next = 0; known = 0; tries = 0 }
header:
    toReceiver ! HEADER, 0, first;
    tries++;
    do
    :: atomic { toSender ? k, c, b, x ->
        if
        :: k == CREDIT -> accepted = true; hear(); clear(); goto sending
        :: k == REFUSED && (beforeKind != k || beforeBlocks != b) -> beforeKind = k; beforeBlocks = b; clear(); break
#ifdef WRONG_SENDER_BELIEVES_OLD_DONE
        :: k == DONE -> tell(ALL, RECORDS, RECORDS); goto over
#endif
        :: else -> clear()
        fi }
#ifndef SOUND
    :: atomic {
#ifndef WRONG_SENDER_HURRIES_HEADER
        QUIET ->
#endif
        k = 0 }; stopReceiver(false); if :: rests -> break :: else -> tell(EXACTLY, first, first); goto over fi
#endif
    :: atomic { stops > 0 -> stops--; wanted = true; goto conclude }
    od;
    if :: tries < HEADERS -> goto header :: else -> goto conclude fi;

sending:
    do
    :: atomic { toSender ? k, c, b, x -> hear();
        if
        :: doubt -> clear(); goto conclude
        :: !doubt && RESTS(k) && k != IDLE -> beforeKind = k; beforeBlocks = b; halted = (k == STOPPED); rests = true; clear(); goto settle
        :: else -> clear()
        fi }
#ifndef WRONG_SENDER_EXCEEDS_CREDIT
    :: atomic { !endSent && next < granted && nfull(toReceiver) ->
#else
    :: atomic { !endSent && next <= granted && nfull(toReceiver) ->
#endif
        if
        :: first + next < RECORDS -> toReceiver ! BLOCK, next, first + next
        :: else -> toReceiver ! END, next, next; endSent = true
        fi; next++ }
#ifndef SOUND
    :: goto conclude                             /* silence for longer than the patience, perhaps too impatient */
#endif
    :: atomic { stops > 0 -> stops--; wanted = true; goto conclude }
    od;

conclude:
    stopReceiver(false);
settle:
    atomic {
        if
        :: doubt && known < next -> tell(ATLEAST, KNOWN, SENT)
        :: doubt && known >= next -> tell(EXACTLY, KNOWN, KNOWN)
#ifndef WRONG_SENDER_CLAIMS_UNKNOWN
        :: !doubt && !rests -> tell(ATLEAST, KNOWN, SENT)
#else
        :: !doubt && !rests -> tell(EXACTLY, KNOWN, KNOWN)
#endif
        :: !doubt && rests && done -> tell(ALL, RECORDS, RECORDS)
#ifndef WRONG_SENDER_REPEATS_CUT
        :: !doubt && rests && !done && isCut -> tell(CUT, KNOWN, KNOWN + 1)
        :: !doubt && rests && !done && !isCut ->
#else
        :: !doubt && rests && !done ->
#endif
            if
            :: wanted || halted || restarts == RESTARTS -> tell(EXACTLY, KNOWN, KNOWN)
            :: else -> restarts++; first = KNOWN; goto again
            fi
        fi
    };
over:
    skip
    } unless { killed }
}

/* ---------------------------------------------------------------- operator */

/* What was told has to be true, now and for good: what is begun later is looked at where it is begun. */
inline judge()
{
    n = 0;
    do
    :: n < RECORDS && asked == NONE && told != NOANSWER ->   /* else this run has not even got a header across */
        assert(n >= toldWritten || (begun[n] == 1 && written[n] == 1));
        assert(told != ALL || written[n] == 1);
        assert(told == ATLEAST || told == CUT && n == toldWritten || n < toldWritten || begun[n] == 0);
        assert(told != CUT || n != toldWritten || (begun[n] == 1 && written[n] == 0));
        assert(told != ATLEAST || n < toldSent || begun[n] == 0);
        n++
    :: else -> break
    od;
    n = 0;
    assert(told == ATLEAST || told == NOANSWER || !beam)             /* what is said to be at rest has the beam off */
#ifdef SOUND
    ; assert(told == ALL)
#endif
}

active proctype Operator()
{
    byte n, runs, from;

    asked = NONE;
    do
    :: runs < RUNS ->
        run Sender(from);
        runs++;
        if
        :: atomic { told != NOTHING -> judge() }
        :: atomic { kills > 0 && told == NOTHING -> kills--; killed = true }
        fi;
        atomic { _nr_pr == 3 -> killed = false;
            if
            :: told == NOTHING || told == NOANSWER ->     /* he starts again, with his word for all that was before */
                asked = 0; from = 0
            :: told == ALL -> break
            :: told == EXACTLY -> from = toldWritten
            :: told == ATLEAST || told == CUT -> asked = toldWritten; from = toldWritten   /* repeats, with his word */
            fi;
            told = NOTHING }
    :: else -> break
    od
}
