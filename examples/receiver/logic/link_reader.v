// The link's side: looks for a header, checks headers and blocks as their bytes come, one byte a clock, and puts the words of
// a block's records into its room. Nothing of a block counts before its CRC has been found right.
`default_nettype none

module link_reader #(
    parameter LOG2_BLOCKS = 2 // blocks that the memory holds, as a power of two
) (
    input  wire        clk,
    input  wire        reset,
    // settings of the board
    input  wire [4:0]  bits,
    input  wire [1:0]  coding,
    input  wire [1:0]  blank_level,
    input  wire [31:0] shortest_ticks,
    input  wire        checks_digest,
    input  wire [63:0] digest,          // first byte in bits 7 to 0
    // bytes
    input  wire [7:0]  in_byte,
    input  wire        in_valid,
    output wire        in_ready,
    // the writing side
    input  wire        interlock_closed,
    input  wire        is_open,         // a stream is in progress
    input  wire        is_ending,       // it ends with the point in progress: bytes are dropped
    input  wire [LOG2_BLOCKS:0] done,   // blocks written completely, lower bits
    output reg         accepted,        // pulse: a stream begins
    output reg         refused,         // pulse: a header was not taken
    output reg         ends,            // pulse: a fault or stop ends the stream
    output reg         ends_with_stop,
    output reg  [3:0]  fault,
    output reg  [2:0]  word_bytes,
    output reg  [31:0] come,            // blocks that have been checked
    // memory
    output reg         write,
    output reg  [LOG2_BLOCKS+7:0] write_address,
    output reg  [31:0] write_data,
    output reg         block_checked,   // pulse with the two below, a clock before come grows
    output wire [LOG2_BLOCKS-1:0] block_room,
    output wire [7:0]  block_records    // 0: the end block
);
    localparam [31:0] RESIDUE = 32'hB798B438;
    localparam [1:0] SEEK = 0, HEADER = 1, TYPE = 2, BLOCK = 3;
    localparam [3:0] BAD_HEADER = 1, OTHER_MACHINE = 2, BAD_BLOCK = 3, BAD_SEQUENCE = 4, BAD_RECORD = 5, MACHINE_FAULT = 8;

    reg [1:0]  state;
    reg [9:0]  at;          // index of the byte that comes next
    reg [31:0] crc;
    reg [9:0]  length;      // of the header, or of the payload
    reg        length_bad;
    reg [9:0]  end_at;      // index of the last byte of the block
    reg        is_other;
    reg        is_late;     // minor version 1 or more
    reg        major_bad;
    reg        shorter;
    reg        level_bad;
    reg [8:0]  origin;
    reg [1:0]  profile;
    reg        is_end;
    reg [7:0]  count;
    reg        sequence_bad;
    reg        judge;       // a whole header or block has come
    reg [LOG2_BLOCKS-1:0] room;

    wire [31:0] next_crc;
    wire        starts = state == SEEK ? at == 0 || in_byte != magic(at[2:0]) : state == TYPE;
    crc32c crc_of_byte (.crc(starts ? 32'hFFFFFFFF : crc), .data(in_byte), .next(next_crc));

    function [7:0] magic;
        input [2:0] index;
        case (index)
            3'd0: magic = 8'h9C;
            3'd1: magic = 8'h50;
            3'd2: magic = 8'h43;
            3'd3: magic = 8'h58;
            3'd4: magic = 8'h0D;
            default: magic = 8'h0A;
        endcase
    endfunction

    wire [LOG2_BLOCKS:0] held = come[LOG2_BLOCKS:0] - done;
    wire        is_full = held[LOG2_BLOCKS];
    wire        is_type = in_byte == "R" || in_byte == "E";

    // A judgement takes a clock of its own, and so does what the writing side makes of it.
    wire settling = judge || accepted || refused || ends;
    assign in_ready = !settling && !(state == TYPE && is_open && !is_ending && is_full && is_type);
    wire take = in_valid && in_ready;

    // ---- words of records ----
    reg [31:0] assembled;
    reg [1:0]  byte_of_word;
    reg [7:0]  word_index;
    reg        word_whole;
    wire       record_sound;
    wire [31:0] with_byte = byte_of_word == 0 ? {24'd0, in_byte}
                          : byte_of_word == 1 ? {16'd0, in_byte, assembled[7:0]}
                          : byte_of_word == 2 ? {8'd0, in_byte, assembled[15:0]}
                          : {in_byte, assembled[23:0]};
    wire in_payload = state == BLOCK && at >= 10 && at < length + 10;

    record_check check (
        .clk(clk), .start(state == TYPE), .word(assembled), .word_whole(word_whole), .word_bytes(word_bytes), .bits(bits),
        .shortest_ticks(shortest_ticks), .takes_lines(profile[0]), .takes_triggers(profile[1]),
        .stated(count), .is_sound(record_sound));

    assign block_room = room;
    assign block_records = is_end ? 8'd0 : count;

    wire [9:0] level_at = {1'b0, origin};
    wire [10:0] needed = {2'b00, origin} + (is_late && !major_bad ? 11'd37 : 11'd4);
    wire sum_bad = crc != RESIDUE;

    always @(posedge clk) begin
        accepted <= 0;
        refused <= 0;
        ends <= 0;
        block_checked <= 0;
        write <= 0;
        word_whole <= 0;
        judge <= 0;
        if (block_checked)
            come <= come + 1;

        if (take) begin
            crc <= next_crc;
            at <= at + 1;
            case (state)
                SEEK:
                    if (in_byte != magic(at[2:0]))
                        at <= in_byte == 8'h9C ? 10'd1 : 10'd0;
                    else if (at == 5)
                        state <= HEADER;
                HEADER: begin
                    take_header_byte;
                    if (at == 11 ? length_bad || in_byte != {6'b111111, ~length[9:8]} || length < 89 || length > 512
                                 : at > 11 && at == length - 1)
                        judge <= 1;
                end
                TYPE:
                    if (!is_ending) begin
                        is_end <= in_byte == "E";
                        sequence_bad <= 0;
                        length_bad <= 0;
                        byte_of_word <= 0;
                        word_index <= 0;
                        if (is_type)
                            state <= BLOCK;
                        else begin
                            ends <= 1;
                            ends_with_stop <= in_byte == 0;
                            fault <= in_byte == 0 ? 4'd0 : BAD_BLOCK;
                            at <= 0;
                        end
                    end else
                        at <= 0;
                default:
                    if (!is_ending) begin
                        take_block_byte;
                        if (at == 9 ? length_bad || length == 0 || length > 512 : at > 9 && at == end_at)
                            judge <= 1;
                    end
            endcase
        end

        if (judge && state == HEADER) begin
            at <= 0;
            if (length_bad || length < 89 || length > 512 || sum_bad || needed > {1'b0, length} || level_bad)
                refuse(BAD_HEADER);
            else if (is_other)
                refuse(OTHER_MACHINE);
            else if (!interlock_closed)
                refuse(MACHINE_FAULT);
            else begin
                accepted <= 1;
                state <= TYPE;
                come <= 0;
                room <= 0;
            end
        end
        if (judge && state == BLOCK) begin
            at <= 0;
            state <= TYPE;
            ends_with_stop <= 0;
            if (length_bad || length == 0 || length > 512 || sum_bad)
                end_stream(BAD_BLOCK);
            else if (sequence_bad)
                end_stream(BAD_SEQUENCE);
            else if (is_end && (length != 24 || count != 0))
                end_stream(BAD_BLOCK);
            else if (!is_end && (!record_sound || byte_of_word != 0))
                end_stream(BAD_RECORD);
            else
                block_checked <= 1;
        end
        if (block_checked)
            room <= room + 1;

        // The writing side has left the stream.
        if ((state == TYPE || state == BLOCK) && !is_open && !accepted && !settling) begin
            state <= SEEK;
            at <= 0;
        end

        if (reset) begin
            state <= SEEK;
            at <= 0;
            accepted <= 0;
            refused <= 0;
            ends <= 0;
            judge <= 0;
            block_checked <= 0;
            write <= 0;
            come <= 0;
            room <= 0;
            word_bytes <= 2;
        end
    end

    task refuse;
        input [3:0] number;
        begin
            refused <= 1;
            fault <= number;
            state <= SEEK;
        end
    endtask

    task end_stream;
        input [3:0] number;
        begin
            ends <= 1;
            fault <= number;
        end
    endtask

    // What concerns this receiver; the CRC covers the rest.
    task take_header_byte;
        begin
            case (at)
                6: begin
                    major_bad <= in_byte != 1;
                    is_other <= in_byte != 1;
                    level_bad <= 0;
                end
                7: is_late <= in_byte != 0;
                8: length[7:0] <= in_byte;
                9: begin
                    length[9:8] <= in_byte[1:0];
                    length_bad <= in_byte[7:2] != 0;
                end
                10: if (in_byte != ~length[7:0]) length_bad <= 1;
                11: if (in_byte != {6'b111111, ~length[9:8]}) length_bad <= 1;
                12: begin
                    word_bytes <= in_byte[2:0];
                    if (in_byte < 2 || in_byte > 4 || (in_byte == 2 && bits > 16)) is_other <= 1;
                end
                13: begin
                    profile <= in_byte[1:0];
                    if (in_byte > 3) is_other <= 1;
                end
                14: shorter <= in_byte != 0;
                15: if (in_byte > 2 || (in_byte == 2 && shorter)) is_other <= 1;
                16: begin
                    shorter <= 0;
                    if (in_byte != {3'd0, bits}) is_other <= 1;
                end
                17: if (in_byte != {6'd0, coding}) is_other <= 1;
                60, 61, 62, 63:
                    if (in_byte != shortest_ticks[8 * at[1:0] +: 8]) shorter <= in_byte < shortest_ticks[8 * at[1:0] +: 8];
                64, 65, 66, 67: if (in_byte != 0) shorter <= 0;
                68: if (shorter) is_other <= 1;
                76, 77, 78, 79, 80, 81, 82, 83:
                    if (checks_digest && in_byte != digest[{~at[2], at[1:0], 3'b000} +: 8]) is_other <= 1;
                84: origin <= 9'd85 + {1'b0, in_byte};
                default:
                    if (at == level_at && at > 84 && is_late && !major_bad) begin
                        if (in_byte > 3) level_bad <= 1;
                        if (in_byte != 0 && in_byte != {6'd0, blank_level}) is_other <= 1;
                    end
            endcase
        end
    endtask

    task take_block_byte;
        begin
            case (at)
                1: count <= in_byte;
                2: length[7:0] <= in_byte;
                3: begin
                    length[9:8] <= in_byte[1:0];
                    length_bad <= in_byte[7:2] != 0;
                end
                4: if (in_byte != ~length[7:0]) length_bad <= 1;
                5: if (in_byte != {6'b111111, ~length[9:8]}) length_bad <= 1;
                6: if (in_byte != come[7:0]) sequence_bad <= 1;
                7: if (in_byte != come[15:8]) sequence_bad <= 1;
                8: begin
                    if (in_byte != come[23:16]) sequence_bad <= 1;
                    end_at <= length + 13;
                end
                9: if (in_byte != come[31:24]) sequence_bad <= 1;
                default:
                    if (in_payload) begin
                        assembled <= with_byte;
                        if ({1'b0, byte_of_word} == word_bytes - 3'd1) begin
                            byte_of_word <= 0;
                            word_index <= word_index + 1;
                            word_whole <= !is_end;
                            write <= 1;
                            write_address <= {room, word_index};
                            write_data <= with_byte;
                        end else
                            byte_of_word <= byte_of_word + 1;
                    end
            endcase
        end
    endtask
endmodule

`default_nettype wire
