// Leads the receiver through a script of faults.c in any Verilog simulator and tells what an instrument at its pins would see, in
// the words of bench.c. Run it with +script=FILE.
`default_nettype none

module bench;
    localparam MOST_TICKS_FOR_A_BYTE = 3000, QUIET_TICKS = 240, QUIET_CLOCKS = 3;

    reg         clk, reset, clear, tick, millisecond, in_valid, in_overrun, interlock_closed, trigger_edge;
    reg  [17:0] settings;
    reg  [7:0]  in_byte;
    wire        in_ready, out_valid, blank, scan_enable, marker, alive, write, is_quiet;
    wire [7:0]  out_byte;
    wire [23:0] x, y;
    wire [31:0] marker_number;

    pins pins (
        .clk(clk), .reset(reset), .clear(clear), .settings(settings), .shortest_ticks(32'd0), .tick(tick),
        .millisecond(millisecond), .in_byte(in_byte), .in_valid(in_valid), .in_ready(in_ready), .in_overrun(in_overrun),
        .out_byte(out_byte), .out_valid(out_valid), .interlock_closed(interlock_closed), .trigger_edge(trigger_edge), .x(x), .y(y),
        .blank(blank), .scan_enable(scan_enable), .marker(marker), .marker_number(marker_number), .alive(alive), .write(write),
        .is_quiet(is_quiet));

    integer      file, read, quiet, waited, ticks;
    reg  [8*256-1:0] name;
    reg  [7:0]   command;
    reg  [31:0]  value, given;
    reg          is_running;
    reg  [49:0]  seen;
    integer      message_length;

    task flush;
        begin
            if (ticks > 0)
                $display("pins %0d %0d %0d %0d %0d", seen[49:26], seen[25:2], seen[1], seen[0], ticks);
            ticks = 0;
        end
    endtask

    task clock;
        reg sends;
        reg [7:0] sent;
        begin
            #1 sends = out_valid;
            sent = out_byte;
            clk = 1;
            #1 clk = 0;
            if (marker === 1'b1) begin
                flush;
                $display("marker %0d", marker_number);
            end
            if (sends === 1'b1) begin
                if (message_length == 0) begin
                    flush;
                    $write("message ");
                end
                $write("%02x", sent);
                message_length = message_length + 1;
                if (message_length == 20) begin
                    $display("");
                    message_length = 0;
                end
            end
        end
    endtask

    task settle;
        begin
            quiet = 0;
            while (quiet < QUIET_CLOCKS) begin
                clock;
                quiet = is_quiet === 1'b1 ? quiet + 1 : 0;
            end
        end
    endtask

    task start;
        input clears;
        begin
            settings = given[17:0];
            reset = 1;
            clear = clears;
            clock;
            clock;
            message_length = 0;
            reset = 0;
            clear = 0;
            settle;
        end
    endtask

    task one_tick;
        begin
            #1 if (ticks > 0 && seen != {x, y, blank, scan_enable})
                flush;
            seen = {x, y, blank, scan_enable};
            ticks = ticks + 1;
            tick = 1;
            clock;
            tick = 0;
            settle;
        end
    endtask

    task one_byte;
        begin
            in_byte = value[7:0];
            in_valid = 1;
            waited = 0;
            #1 while (!in_ready) begin
                in_valid = 0;
                if (waited == MOST_TICKS_FOR_A_BYTE) begin
                    in_overrun = 1;
                    clock;
                    in_overrun = 0;
                    settle;
                end else
                    one_tick;
                waited = waited + 1;
                in_valid = 1;
                #1;
            end
            clock;
            in_valid = 0;
            settle;
        end
    endtask

    task finish;
        begin
            flush;
            $display("end %0d %0d %0d %0d", x, y, blank, scan_enable);
        end
    endtask

    initial begin
        {clk, reset, clear, tick, millisecond, in_valid, in_overrun, trigger_edge, is_running} = 0;
        interlock_closed = 1;
        settings = 0;
        given = 0;
        message_length = 0;
        ticks = 0;
        if (!$value$plusargs("script=%s", name)) begin
            $display("which script? +script=FILE");
            $finish;
        end
        file = $fopen(name, "r");
        read = $fscanf(file, " %c %d", command, value);
        while (read == 2) begin
            case (command)
                "s": given = value;
                "n": begin
                    if (is_running)
                        finish;
                    is_running = 1;
                    interlock_closed = 1;
                    $display("run %0d", value);
                    start(1'b1);
                end
                "r": start(1'b0);
                "b": one_byte;
                "t": while (value > 0) begin
                    one_tick;
                    value = value - 1;
                end
                "u": while (value > 0 && ticks < QUIET_TICKS) begin
                    one_tick;
                    value = value - 1;
                end
                "m": while (value > 0) begin
                    millisecond = 1;
                    clock;
                    millisecond = 0;
                    settle;
                    value = value - 1;
                end
                "e": begin
                    trigger_edge = 1;
                    clock;
                    trigger_edge = 0;
                    settle;
                end
                "f": ;
                default: begin
                    interlock_closed = value != 0;
                    settle;
                end
            endcase
            read = $fscanf(file, " %c %d", command, value);
        end
        finish;
        $finish;
    end
endmodule

`default_nettype wire
