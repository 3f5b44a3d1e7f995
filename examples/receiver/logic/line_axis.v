// Evenly spaced codes of a line, each rounded half up, by one addition a point: the adder of the stream's page for x and y. With
// the dwell as its code (whole 0, carried 0) the same adder tells which points last a tick more.
`default_nettype none

module line_axis #(
    parameter CODE_BITS = 24,
    parameter SUM_BITS = 32
) (
    input  wire                  clk,
    input  wire                  load,
    input  wire [CODE_BITS-1:0]  first,
    input  wire [CODE_BITS:0]    whole,
    input  wire [SUM_BITS-1:0]   spare,
    input  wire [SUM_BITS-1:0]   room,     // divisor less spare
    input  wire [SUM_BITS-1:0]   carried,  // at the first point
    input  wire                  advance,  // to the next point
    output reg  [CODE_BITS-1:0]  code,
    output wire                  carries   // the step to the next point takes one more
);
    reg [CODE_BITS:0]  step;
    reg [SUM_BITS-1:0] add;
    reg [SUM_BITS-1:0] take;
    reg [SUM_BITS-1:0] sum;

    // One adder each: the lowest bit takes the carry.
    wire [CODE_BITS:0] next = {code, 1'b1} + {step[CODE_BITS-1:0], carries};
    wire [SUM_BITS:0]  next_sum = {sum, 1'b1} + {carries ? ~take : add, carries};
    assign carries = sum >= take;

    always @(posedge clk)
        if (load) begin
            code <= first;
            step <= whole;
            add <= spare;
            take <= room;
            sum <= carried;
        end else if (advance) begin
            code <= next[CODE_BITS:1];
            sum <= next_sum[SUM_BITS:1];
        end

    wire unused = &{1'b0, step[CODE_BITS], next[0], next_sum[0]};
endmodule

`default_nettype wire
