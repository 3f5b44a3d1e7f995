// Reads records out of their rooms, a word a clock, one record ahead of the writing; a line is divided here. The end block's
// totals are compared when everything before it is on its way.
`default_nettype none

module record_fetch #(
    parameter LOG2_BLOCKS = 2,
    parameter CODE_BITS = 24
) (
    input  wire        clk,
    input  wire        clear,            // a stream begins or is over
    input  wire        is_open,
    input  wire [2:0]  word_bytes,
    input  wire [CODE_BITS-1:0] flip,            // top bit of two's complement
    input  wire [LOG2_BLOCKS:0] come,  // its lower bits: no more than the rooms are ahead
    // memory
    output wire [LOG2_BLOCKS+7:0] read_address,
    input  wire [31:0] read_data,        // of the address a clock before
    output wire [LOG2_BLOCKS-1:0] room,
    input  wire [7:0]  room_records,     // of that room; 0: the end block
    // totals of what has been made ready
    input  wire        nothing_before,   // everything fetched has been made ready
    output reg  [4:0]  total_index,      // a byte of the totals
    input  wire [7:0]  total_byte,
    // a record
    output reg         staged,
    input  wire        take,
    output reg  [2:0]  kind,             // 7: the end block
    output reg         totals_right,
    output reg         ends_block,
    output reg  [CODE_BITS-1:0] x,               // natural codes
    output reg  [CODE_BITS-1:0] y,
    output reg  [31:0] value,            // ticks, number of a marker, or ticks of each point of a line
    output reg  [30:0] points,
    output reg  [30:0] more,
    output wire [30:0] steps,            // points less one, 1 at least
    output reg  [CODE_BITS:0] x_whole,
    output reg  [30:0] x_spare,
    output wire [CODE_BITS:0] y_whole,
    output wire [30:0] y_spare,
    output wire        idle              // no record in here and no block open
);
    localparam [2:0] JUMP = 1, DOT = 2, LINE = 3, END = 7;
    localparam [2:0] REST = 0, ADDRESS = 1, WORDS = 2, START_X = 3, WAIT_X = 4, START_Y = 5, WAIT_Y = 6, TOTALS = 7;

    reg [2:0]  state;
    reg [LOG2_BLOCKS:0] opened;
    reg [LOG2_BLOCKS-1:0] reading;
    reg        any_opened;
    reg [7:0]  records_left;
    reg [7:0]  address;
    reg [3:0]  index;
    reg [31:0] low;
    reg [CODE_BITS-1:0] x_end;
    reg [CODE_BITS-1:0] y_end;
    reg [1:0]  byte_of_word;
    reg        is_fresh;     // the word read is that of the address

    wire [LOG2_BLOCKS-1:0] next_room = any_opened ? reading + 1'b1 : {LOG2_BLOCKS{1'b0}};
    wire opens = state == REST && records_left == 0 && is_open && (!staged || take) && opened != come;
    assign room = next_room;
    assign read_address = {reading, address};
    assign idle = state == REST && !staged && records_left == 0 && opened == come;

    wire [31:0] pair = word_bytes == 2 ? {read_data[15:0], low[15:0]} : word_bytes == 3 ? {read_data[7:0], low[23:0]} : low;
    wire [2:0]  this_kind = index == 0 ? read_data[2:0] : kind;
    wire        is_point = this_kind == JUMP || this_kind == DOT;
    wire        is_line = this_kind == LINE;
    wire [3:0]  last = is_point ? 4'd4 : is_line ? 4'd10 : 4'd2;

    assign steps = points == 1 ? 31'd1 : points - 31'd1;
    wire divided;
    wire [CODE_BITS:0] quotient;
    wire [30:0] remainder;
    wire starts_division = state == START_X || state == START_Y;
    line_divide #(.CODE_BITS(CODE_BITS)) divide (
        .clk(clk), .start(starts_division), .from(state == START_X ? x : y), .to(state == START_X ? x_end : y_end), .n(steps),
        .done(divided), .quotient(quotient), .remainder(remainder));
    assign y_whole = quotient;
    assign y_spare = remainder;

    always @(posedge clk) begin
        if (take)
            staged <= 0;
        case (state)
            REST:
                if (opens) begin
                    opened <= opened + 1;
                    reading <= next_room;
                    any_opened <= 1;
                    address <= 0;
                    records_left <= room_records;
                    state <= ADDRESS;
                end else if (records_left != 0 && (!staged || take)) begin
                    // The word at the address is on its way already.
                    state <= WORDS;
                    address <= address + 1;
                    index <= 0;
                end
            ADDRESS: begin
                address <= address + 1;
                index <= 0;
                totals_right <= 1;
                total_index <= 0;
                byte_of_word <= 0;
                is_fresh <= 0;
                if (records_left != 0)
                    state <= WORDS;
                else begin
                    kind <= END;
                    state <= TOTALS;
                    address <= 0;
                end
            end
            WORDS: begin
                low <= read_data;
                index <= index + 1;
                if (index == 0)
                    kind <= read_data[2:0];
                if (index == 1) x <= read_data[CODE_BITS-1:0] ^ flip;
                if (index == 2) y <= read_data[CODE_BITS-1:0] ^ flip;
                if (index == 3) x_end <= read_data[CODE_BITS-1:0] ^ flip;
                if (index == 4) y_end <= read_data[CODE_BITS-1:0] ^ flip;
                if (is_line && index == 6) points <= pair[30:0];
                if (is_line ? index == 8 : index == last) value <= pair;
                if (is_line && index == 10) more <= pair[30:0];
                if (index == last && index != 0) begin
                    records_left <= records_left - 1;
                    ends_block <= records_left == 1;
                    if (is_line)
                        state <= START_X;
                    else begin
                        state <= REST;
                        staged <= 1;
                    end
                end else
                    address <= address + 1;
            end
            START_X: state <= WAIT_X;
            WAIT_X:
                if (divided) begin
                    x_whole <= quotient;
                    x_spare <= remainder;
                    state <= START_Y;
                end
            START_Y: state <= WAIT_Y;
            WAIT_Y:
                if (divided) begin
                    state <= REST;
                    staged <= 1;
                end
            TOTALS:
                if (nothing_before && !staged) begin
                    is_fresh <= 1;
                    if (is_fresh) begin
                        if (read_data[8 * byte_of_word +: 8] != total_byte)
                            totals_right <= 0;
                        total_index <= total_index + 1;
                        byte_of_word <= byte_of_word + 1;
                        if ({1'b0, byte_of_word} == word_bytes - 3'd1) begin
                            byte_of_word <= 0;
                            is_fresh <= 0;
                            address <= address + 1;
                        end
                        if (total_index == 23) begin
                            state <= REST;
                            staged <= 1;
                        end
                    end
                end
        endcase
        if (clear) begin
            state <= REST;
            opened <= 0;
            any_opened <= 0;
            reading <= 0;
            records_left <= 0;
            staged <= 0;
        end
    end
endmodule

`default_nettype wire
