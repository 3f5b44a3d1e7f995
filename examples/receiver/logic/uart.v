// Bytes over an asynchronous serial link: 8 data bits, no parity, one stop bit.
`default_nettype none

module uart_receiver #(
    parameter CLOCKS_PER_BIT = 434  // 8 at least
) (
    input  wire       clk,
    input  wire       reset,
    input  wire       line,         // from the pin
    output reg  [7:0] out_byte,
    output reg        out_valid,
    input  wire       out_ready,
    output reg        overrun       // pulse: a byte was lost
);
    reg  [2:0]  synchronised;
    reg  [15:0] left;
    reg  [3:0]  bits;               // to come, the stop bit among them
    reg  [7:0]  shifted;

    always @(posedge clk) begin
        overrun <= 0;
        synchronised <= {synchronised[1:0], line};
        if (out_ready)
            out_valid <= 0;
        if (left != 0)
            left <= left - 1;
        if (bits == 0) begin
            if (!synchronised[2] && left == 0) begin
                bits <= 10;
                left <= CLOCKS_PER_BIT / 2 - 1;
            end
        end else if (left == 0) begin
            bits <= bits - 1;
            left <= bits == 1 ? 16'd0 : CLOCKS_PER_BIT - 1;
            shifted <= {synchronised[2], shifted[7:1]};
            if (bits == 10 && synchronised[2])
                bits <= 0;          // no start bit
            if (bits == 1 && synchronised[2]) begin
                out_byte <= shifted;
                out_valid <= 1;
                overrun <= out_valid && !out_ready;
            end
        end
        if (reset) begin
            synchronised <= 3'b111;
            bits <= 0;
            left <= 0;
            out_valid <= 0;
            overrun <= 0;
        end
    end
endmodule

module uart_sender #(
    parameter CLOCKS_PER_BIT = 434
) (
    input  wire       clk,
    input  wire       reset,
    input  wire [7:0] in_byte,
    input  wire       in_valid,
    output wire       in_ready,
    output wire       line
);
    reg  [15:0] left;
    reg  [3:0]  bits;               // to come
    reg  [9:0]  shifted;

    assign in_ready = bits == 0;
    assign line = shifted[0];

    always @(posedge clk)
        if (reset) begin
            bits <= 0;
            left <= 0;
            shifted <= 10'h3FF;
        end else if (bits == 0) begin
            if (in_valid) begin
                shifted <= {1'b1, in_byte, 1'b0};
                bits <= 10;
                left <= CLOCKS_PER_BIT - 1;
            end
        end else if (left != 0)
            left <= left - 1;
        else begin
            shifted <= {1'b1, shifted[9:1]};
            bits <= bits - 1;
            left <= CLOCKS_PER_BIT - 1;
        end
endmodule

`default_nettype wire
