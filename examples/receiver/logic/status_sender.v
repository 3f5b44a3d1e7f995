// Status messages of 20 bytes: whenever there is news, and the last one again every 250 ms.
`default_nettype none

module status_sender (
    input  wire        clk,
    input  wire        reset,
    input  wire        millisecond,
    input  wire        news,          // pulse
    input  wire [7:0]  kind,          // 'I', 'C', 'D', 'F' or 'S'
    input  wire [3:0]  fault,
    input  wire        is_cut,
    input  wire [31:0] credit,
    input  wire [31:0] blocks,
    input  wire [15:0] records,
    output wire [7:0]  out_byte,
    output wire        out_valid,
    input  wire        out_ready
);
    localparam [7:0] REPEAT_MILLISECONDS = 250;

    reg         is_wanted;
    reg         is_sending;
    reg  [7:0]  quiet;
    reg  [4:0]  at;
    reg  [31:0] crc;
    reg  [127:0] message;   // the byte that goes next in bits 7 to 0

    wire [31:0] next_crc;
    crc32c crc_of_byte (.crc(crc), .data(message[7:0]), .next(next_crc));

    assign out_byte = message[7:0];
    assign out_valid = is_sending;

    always @(posedge clk) begin
        if (millisecond && quiet != REPEAT_MILLISECONDS)
            quiet <= quiet + 1;
        if (is_wanted || quiet == REPEAT_MILLISECONDS) begin
            if (!is_sending) begin
                is_sending <= 1;
                is_wanted <= 0;
                quiet <= 0;
                at <= 0;
                crc <= 32'hFFFFFFFF;
                message <= {16'd0, records, blocks, kind == "C" ? credit : 32'd0, 7'd0, is_cut, 4'd0, fault, kind, 8'hA5};
            end
        end
        if (news)
            is_wanted <= 1;
        if (is_sending && out_ready) begin
            at <= at + 1;
            crc <= next_crc;
            message <= {8'd0, message[127:8]};
            if (at == 15)
                message[31:0] <= ~next_crc;
            if (at == 19)
                is_sending <= 0;
        end
        if (reset) begin
            is_wanted <= 1; // at rest since the reset
            is_sending <= 0;
            quiet <= 0;
        end
    end
endmodule

`default_nettype wire
