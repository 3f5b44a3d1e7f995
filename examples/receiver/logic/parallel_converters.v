// Two converters with parallel inputs: words change together, a write strobe tells that they have.
`default_nettype none

module parallel_converters #(
    parameter BITS = 24
) (
    input  wire        clk,
    input  wire        reset,
    input  wire [BITS-1:0] next_x,
    input  wire [BITS-1:0] next_y,
    input  wire        update,
    output wire        loaded,
    output reg  [BITS-1:0] x,
    output reg  [BITS-1:0] y,
    output reg         write      // high for the first clock of a new position
);
    assign loaded = 1'b1;

    always @(posedge clk) begin
        write <= update;
        if (update) begin
            x <= next_x;
            y <= next_y;
        end
        if (reset) begin
            x <= 0;
            y <= 0;
            write <= 0;
        end
    end
endmodule

`default_nettype wire
