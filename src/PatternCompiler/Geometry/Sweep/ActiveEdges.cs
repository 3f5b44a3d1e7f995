namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// The links that the sweep line crosses, from left to right: a linked list over one array of slots, divided into blocks
/// of consecutive links so that a place is found by bisection over the blocks' first members. Slot 0 is the list's end in
/// both directions.
/// </summary>
internal sealed class ActiveEdges
{
    private const int LargestBlock = 32;

    private readonly List<int> freeBlocks = [];
    private int[] blockFirst = new int[16];
    private int[] blockSize = new int[16];
    private int[] blockOrder = new int[16];
    private int blockCount;
    private int blocksUsed;
    private int slotsUsed = 1;
    private int freeSlot;

    /// <summary>The slots. Growing replaces the array: fetch it again after <see cref="InsertAfter"/>.</summary>
    public ActiveEdge[] Slots { get; private set; } = new ActiveEdge[64];

    /// <summary>The last link to the left of a point through which no link passes; 0 if there is none.</summary>
    public int FindLeft(int x, int y)
    {
        ActiveEdge[] slots = Slots;
        int low = 0, high = blockCount;
        while (low < high)
        {
            int middle = (low + high) >>> 1;
            if (slots[blockFirst[blockOrder[middle]]].Side(x, y) < 0)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        if (low == 0)
        {
            return 0;
        }

        int left = blockFirst[blockOrder[low - 1]];
        for (int next = slots[left].Next; next != 0 && slots[next].Side(x, y) < 0; next = slots[next].Next)
        {
            left = next;
        }

        return left;
    }

    /// <summary>Adds a slot behind <paramref name="left"/> (0: at the front). Its contents are the caller's to fill in.</summary>
    public int InsertAfter(int left)
    {
        int slot = TakeSlot();
        ActiveEdge[] slots = Slots;
        int right = slots[left].Next;
        slots[slot].Previous = left;
        slots[slot].Next = right;
        slots[left].Next = slot;
        slots[right].Previous = slot;

        int block;
        if (left != 0)
        {
            block = slots[left].Block;
        }
        else if (right != 0)
        {
            block = slots[right].Block;
            blockFirst[block] = slot;
        }
        else
        {
            block = TakeBlock(0);
            blockFirst[block] = slot;
            blockSize[block] = 0;
        }

        slots[slot].Block = block;
        if (++blockSize[block] > LargestBlock)
        {
            Split(block);
        }

        return slot;
    }

    /// <summary>Takes a link out.</summary>
    public void Remove(int slot)
    {
        ActiveEdge[] slots = Slots;
        ref ActiveEdge edge = ref slots[slot];
        slots[edge.Previous].Next = edge.Next;
        slots[edge.Next].Previous = edge.Previous;
        int block = edge.Block;
        if (--blockSize[block] == 0)
        {
            int at = Array.IndexOf(blockOrder, block, 0, blockCount);
            blockCount--;
            Array.Copy(blockOrder, at + 1, blockOrder, at, blockCount - at);
            freeBlocks.Add(block);
        }
        else if (blockFirst[block] == slot)
        {
            blockFirst[block] = edge.Next;
        }

        edge.Next = freeSlot;
        freeSlot = slot;
    }

    private int TakeSlot()
    {
        if (freeSlot != 0)
        {
            int slot = freeSlot;
            freeSlot = Slots[slot].Next;
            return slot;
        }

        if (slotsUsed == Slots.Length)
        {
            ActiveEdge[] larger = new ActiveEdge[slotsUsed * 2];
            Slots.CopyTo(larger, 0);
            Slots = larger;
        }

        return slotsUsed++;
    }

    /// <summary>Takes a block and puts it at a place in the order.</summary>
    private int TakeBlock(int at)
    {
        int block;
        if (freeBlocks.Count > 0)
        {
            block = freeBlocks[^1];
            freeBlocks.RemoveAt(freeBlocks.Count - 1);
        }
        else
        {
            block = blocksUsed++;
            if (block == blockFirst.Length)
            {
                Array.Resize(ref blockFirst, block * 2);
                Array.Resize(ref blockSize, block * 2);
                Array.Resize(ref blockOrder, block * 2);
            }
        }

        Array.Copy(blockOrder, at, blockOrder, at + 1, blockCount - at);
        blockOrder[at] = block;
        blockCount++;
        return block;
    }

    private void Split(int block)
    {
        ActiveEdge[] slots = Slots;
        int half = blockSize[block] / 2;
        int slot = blockFirst[block];
        for (int i = 0; i < half; i++)
        {
            slot = slots[slot].Next;
        }

        int added = TakeBlock(Array.IndexOf(blockOrder, block, 0, blockCount) + 1);
        blockFirst[added] = slot;
        blockSize[added] = blockSize[block] - half;
        blockSize[block] = half;
        for (int i = 0; i < blockSize[added]; i++)
        {
            slots[slot].Block = added;
            slot = slots[slot].Next;
        }
    }
}
