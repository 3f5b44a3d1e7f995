namespace PatternCompiler.Geometry.Recurrence;

/// <summary>Receives the items of copies one by one.</summary>
internal interface ICopyVisitor
{
    void Visit(in MovedCopy copy, int item);
}
