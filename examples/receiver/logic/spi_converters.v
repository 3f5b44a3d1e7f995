// Two converters with serial inputs that share clock and select. The words of the next position are shifted in while the beam still
// stands at the one before; update makes both converters change at once.
`default_nettype none

module spi_converters #(
    parameter BITS = 24,                  // of a code
    parameter WORD_BITS = 24,             // bits of a word, 8 to 32
    parameter [31:0] PREFIX = 0,          // command bits, where they stand in the word
    parameter CODE_SHIFT = 0,             // places that the code is shifted to the left
    parameter HALF_BIT_CLOCKS = 1,        // clocks of half a bit, 1 to 256
    parameter SELECT_HIGH_CLOCKS = 2,     // clocks between words at least, 1 to 256
    parameter SHIFTS_ON_RISE = 0,         // 0: data stands around the rising edge of the clock, 1: around the falling one
    parameter LATCHES_BY_SELECT = 0       // 1: no latch line, the rise of select updates; it waits for update
) (
    input  wire        clk,
    input  wire        reset,
    input  wire        load,
    input  wire [BITS-1:0] next_x,
    input  wire [BITS-1:0] next_y,
    input  wire        update,
    output wire        loaded,
    output reg         select_n,
    output reg         clock,
    output wire        data_x,
    output wire        data_y,
    output reg         latch_n            // low for two clocks from update on
);
    localparam IDLE = SHIFTS_ON_RISE != 0;

    reg  [31:0] word_x, word_y;
    reg  [5:0]  left;           // bits to come
    reg  [7:0]  half;           // clocks to come of this half bit
    reg         second_half;
    reg         is_pending;
    reg         is_shifting;
    reg         is_held;        // shifted in, not yet the position
    reg  [7:0]  rest;
    reg         latching;

    assign data_x = word_x[WORD_BITS-1];
    assign data_y = word_y[WORD_BITS-1];
    assign loaded = is_held && !load;

    always @(posedge clk) begin
        latch_n <= !(update || latching);
        latching <= update;
        if (rest != 0)
            rest <= rest - 1;
        if (load) begin
            is_pending <= 1;
            is_held <= 0;
        end
        if (update) begin
            is_held <= 0;
            if (LATCHES_BY_SELECT != 0) begin
                select_n <= 1;
                rest <= SELECT_HIGH_CLOCKS - 1;
            end
        end
        if (is_pending && !is_shifting && rest == 0 && !update && !load) begin
            is_pending <= 0;
            is_shifting <= 1;
            word_x <= PREFIX | ({{32-BITS{1'b0}}, next_x} << CODE_SHIFT);
            word_y <= PREFIX | ({{32-BITS{1'b0}}, next_y} << CODE_SHIFT);
            left <= WORD_BITS;
            half <= HALF_BIT_CLOCKS - 1;
            second_half <= 0;
            select_n <= 0;
            clock <= IDLE;
        end else if (is_shifting) begin
            if (half != 0)
                half <= half - 1;
            else begin
                half <= HALF_BIT_CLOCKS - 1;
                second_half <= !second_half;
                if (!second_half)
                    clock <= !IDLE;
                else begin
                    clock <= IDLE;
                    left <= left - 1;
                    if (left != 1) begin
                        word_x <= word_x << 1;
                        word_y <= word_y << 1;
                    end else begin
                        is_shifting <= 0;
                        is_held <= !is_pending && !load;
                        if (LATCHES_BY_SELECT == 0) begin
                            select_n <= 1;
                            rest <= SELECT_HIGH_CLOCKS - 1;
                        end
                    end
                end
            end
        end
        if (reset) begin
            select_n <= 1;
            clock <= IDLE;
            latch_n <= 1;
            latching <= 0;
            is_pending <= 0;
            is_shifting <= 0;
            is_held <= 0;
            rest <= 0;
        end
    end
endmodule

`default_nettype wire
