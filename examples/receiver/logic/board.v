// A whole board: serial link, receiver, two converters, lines. Pins of inputs are brought to the clock here. A board of one's own
// starts as a copy of this file with its own settings.
`default_nettype none

module board #(
    parameter BITS = 16,                       // of both converters
    parameter [1:0] CODING = 1,                // 0 straight, 1 offset binary, 2 two's complement
    parameter [1:0] BLANK_LEVEL = 1,           // of the blank line with the beam off: 1 high, 2 low, 3 no blanker
    parameter SCAN_IS_LOW = 0,                 // level of scan-enable while a stream is written
    parameter TRIGGER_FALLS = 0,               // active edge of the trigger input
    parameter CLOCKS_PER_TICK = 50,            // 50 MHz and the machine file's clock of 1 MHz
    parameter CLOCKS_PER_MILLISECOND = 50000,
    parameter CLOCKS_PER_BIT = 50,             // 1 Mbit/s
    parameter TIMEOUT_MILLISECONDS = 2000,
    parameter LOG2_BLOCKS = 3,                 // 8 blocks held
    parameter HAS_SPI = 0,                     // 0: parallel converters
    parameter WORD_BITS = 24,                  // of serial converters
    parameter [31:0] PREFIX = 0,
    parameter CODE_SHIFT = 0,
    parameter LATCHES_BY_SELECT = 0
) (
    input  wire            clk,
    input  wire            reset_n,
    input  wire            serial_in,
    output wire            serial_out,
    input  wire            interlock,          // high: closed
    input  wire            trigger,
    output wire            blank,
    output wire            scan_enable,
    output wire            marker,
    output wire            alive,              // to the watchdog that gates the beam
    output wire [BITS-1:0] x,
    output wire [BITS-1:0] y,
    output wire            write,
    output wire            select_n,
    output wire            spi_clock,
    output wire            data_x,
    output wire            data_y,
    output wire            latch_n
);
    // A point has to be ready before the one before is over: 8 clocks, or a word, its select and 6 clocks.
    localparam POINT_CLOCKS = HAS_SPI != 0 ? 2 * WORD_BITS + 8 : 8;
    localparam SHORTEST_TICKS = (POINT_CLOCKS + CLOCKS_PER_TICK - 1) / CLOCKS_PER_TICK;

    reg [1:0] resets;
    reg [1:0] interlocks;
    reg [2:0] triggers;
    wire      reset = !resets[1];
    always @(posedge clk or negedge reset_n)
        if (!reset_n)
            resets <= 0;
        else
            resets <= {resets[0], 1'b1};
    always @(posedge clk) begin
        interlocks <= {interlocks[0], interlock};
        triggers <= {triggers[1:0], trigger != (TRIGGER_FALLS != 0)};
    end

    reg [15:0] tick_left;
    reg [16:0] millisecond_left;
    wire       tick = tick_left == 0;
    wire       millisecond = millisecond_left == 0;
    always @(posedge clk)
        if (reset) begin
            tick_left <= 0;
            millisecond_left <= CLOCKS_PER_MILLISECOND - 1;
        end else begin
            tick_left <= tick ? CLOCKS_PER_TICK - 1 : tick_left - 16'd1;
            millisecond_left <= millisecond ? CLOCKS_PER_MILLISECOND - 1 : millisecond_left - 17'd1;
        end

    wire [7:0]  in_byte, out_byte;
    wire        in_valid, in_ready, in_overrun, out_valid, out_ready, load, loaded, update;
    wire [BITS-1:0] next_x, next_y;
    wire [31:0] marker_number;

    // An open interlock and a reset blank without waiting for a clock.
    wire core_blank;
    assign blank = interlock && reset_n ? core_blank : BLANK_LEVEL != 2;

    uart_receiver #(.CLOCKS_PER_BIT(CLOCKS_PER_BIT)) from_link (
        .clk(clk), .reset(reset), .line(serial_in), .out_byte(in_byte), .out_valid(in_valid), .out_ready(in_ready), .overrun(in_overrun));
    uart_sender #(.CLOCKS_PER_BIT(CLOCKS_PER_BIT)) to_link (
        .clk(clk), .reset(reset), .in_byte(out_byte), .in_valid(out_valid), .in_ready(out_ready), .line(serial_out));

    wire [4:0]  bits = BITS;
    wire [31:0] shortest_ticks = SHORTEST_TICKS;
    wire [15:0] timeout_milliseconds = TIMEOUT_MILLISECONDS;
    exposure_receiver #(.LOG2_BLOCKS(LOG2_BLOCKS), .CODE_BITS(BITS)) receiver (
        .clk(clk), .reset(reset), .bits(bits), .coding(CODING), .blank_level(BLANK_LEVEL), .scan_is_low(SCAN_IS_LOW != 0),
        .shortest_ticks(shortest_ticks), .checks_digest(1'b0), .digest(64'd0), .timeout_milliseconds(timeout_milliseconds),
        .tick_patience(8'd100), .tick(tick), .millisecond(millisecond), .in_byte(in_byte), .in_valid(in_valid),
        .in_ready(in_ready), .in_overrun(in_overrun), .out_byte(out_byte), .out_valid(out_valid), .out_ready(out_ready),
        .interlock_closed(interlocks[1]), .trigger_edge(triggers[1] && !triggers[2]), .load(load), .next_x(next_x), .next_y(next_y),
        .loaded(loaded), .update(update), .blank(core_blank), .scan_enable(scan_enable), .marker(marker),
        .marker_number(marker_number), .alive(alive));

    wire unused = &{1'b0, load, marker_number};
    generate
        if (HAS_SPI != 0) begin : serial
            spi_converters #(
                .BITS(BITS), .WORD_BITS(WORD_BITS), .PREFIX(PREFIX), .CODE_SHIFT(CODE_SHIFT), .LATCHES_BY_SELECT(LATCHES_BY_SELECT)) converters (
                .clk(clk), .reset(reset), .load(load), .next_x(next_x), .next_y(next_y), .update(update), .loaded(loaded),
                .select_n(select_n), .clock(spi_clock), .data_x(data_x), .data_y(data_y), .latch_n(latch_n));
            assign {x, y, write} = 0;
        end else begin : parallel
            parallel_converters #(.BITS(BITS)) converters (
                .clk(clk), .reset(reset), .next_x(next_x), .next_y(next_y), .update(update), .loaded(loaded), .x(x), .y(y),
                 .write(write));
            assign {select_n, spi_clock, data_x, data_y, latch_n} = 5'b10001;
        end
    endgenerate
endmodule

`default_nettype wire
