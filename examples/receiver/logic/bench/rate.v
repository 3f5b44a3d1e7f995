// Every clock a tick: when does which position stand at the converters, and is the beam on? Run it with +stream=FILE, bytes in
// hexadecimal digits, +bytes=COUNT, +bits=N, +shortest=TICKS; ticks begin when all bytes are in the rooms. Each change is a line "CLOCK X Y BLANK".
`default_nettype none

module rate;
    parameter HAS_SPI = 0;
    parameter LATCHES_BY_SELECT = 0;
    localparam WORD_BITS = 24, MOST_BYTES = 4096, REST_CLOCKS = 2000;

    reg          clk, reset, tick;
    reg  [7:0]   bytes [0:MOST_BYTES - 1];
    reg  [8*256-1:0] name;
    integer      count, at, clocks, quiet, bits, shortest;
    wire         in_ready, in_valid, load, loaded, update, blank;
    wire [23:0]  next_x, next_y, x, y;

    assign in_valid = at < count && !reset;
    exposure_receiver core (
        .clk(clk), .reset(reset), .bits(bits[4:0]), .coding(2'd1), .blank_level(2'd1), .scan_is_low(1'b0),
        .shortest_ticks(shortest), .checks_digest(1'b0), .digest(64'd0), .timeout_milliseconds(16'd0), .tick_patience(8'd0),
        .tick(tick), .millisecond(1'b0), .in_byte(bytes[at]), .in_valid(in_valid), .in_ready(in_ready), .in_overrun(1'b0),
        .out_byte(), .out_valid(), .out_ready(1'b1), .interlock_closed(1'b1), .trigger_edge(1'b0), .load(load), .next_x(next_x),
        .next_y(next_y), .loaded(loaded), .update(update), .blank(blank), .scan_enable(), .marker(), .marker_number(), .alive());

    generate
        if (HAS_SPI != 0) begin : serial
            // Converters as a data sheet has them: bits at the rising edge, the last ones count, latch or select takes them over.
            wire select_n, clock, data_x, data_y, latch_n;
            reg [WORD_BITS-1:0] shift_x, shift_y;
            reg [23:0] held_x, held_y;
            reg [15:0] bits_seen;
            spi_converters #(
                .WORD_BITS(WORD_BITS), .PREFIX(32'h00300000), .CODE_SHIFT(2), .LATCHES_BY_SELECT(LATCHES_BY_SELECT)) converters (
                .clk(clk), .reset(reset), .load(load), .next_x(next_x), .next_y(next_y), .update(update), .loaded(loaded),
                .select_n(select_n), .clock(clock), .data_x(data_x), .data_y(data_y), .latch_n(latch_n));
            always @(negedge select_n) bits_seen = 0;
            always @(posedge clock)
                if (!select_n) begin
                    shift_x = {shift_x[WORD_BITS-2:0], data_x};
                    shift_y = {shift_y[WORD_BITS-2:0], data_y};
                    bits_seen = bits_seen + 1;
                end
            task take;
                begin
                    if (bits_seen != WORD_BITS || shift_x[WORD_BITS-1:18] != 6'h0C || shift_y[WORD_BITS-1:18] != 6'h0C || shift_x[1:0] != 0)
                        $display("bad word: %0d bits", bits_seen);
                    held_x = {8'd0, shift_x[17:2]};
                    held_y = {8'd0, shift_y[17:2]};
                end
            endtask
            if (LATCHES_BY_SELECT != 0) begin : by_select
                always @(posedge select_n) if (!reset) take;
            end else begin : by_latch
                always @(negedge latch_n) if (!reset) take;
            end
            assign x = held_x;
            assign y = held_y;
        end else begin : parallel
            parallel_converters converters (
                .clk(clk), .reset(reset), .next_x(next_x), .next_y(next_y), .update(update), .loaded(loaded), .x(x), .y(y), .write());
        end
    endgenerate

    reg [48:0] seen;
    initial begin
        if (!$value$plusargs("stream=%s", name) || !$value$plusargs("bytes=%d", count) || !$value$plusargs("bits=%d", bits)
            || !$value$plusargs("shortest=%d", shortest)) begin
            $display("+stream=FILE +bytes=COUNT +bits=N +shortest=TICKS");
            $finish;
        end
        $readmemh(name, bytes, 0, count - 1);
        {clk, tick} = 0;
        reset = 1;
        at = 0;
        clocks = 0;
        quiet = 0;
        seen = {48'd0, 1'b1};
        repeat (4) begin
            #1 clk = 1;
            #1 clk = 0;
        end
        reset = 0;
        while (quiet < REST_CLOCKS) begin
            #1;
            if (in_valid && in_ready)
                at <= at + 1;
            tick <= at == count;
            clk = 1;
            #1 clk = 0;
            clocks = clocks + 1;
            quiet = quiet + 1;
            if (seen !== {x, y, blank}) begin
                $display("%0d %0d %0d %0d", clocks, x, y, blank);
                quiet = 0;
            end
            seen = {x, y, blank};
        end
        $finish;
    end
endmodule

`default_nettype wire
