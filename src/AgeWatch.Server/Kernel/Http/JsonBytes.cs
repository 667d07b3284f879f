using System.Buffers;
using System.Text.Json;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>A reply as JSON in rented memory: an answer of some ten kilobytes would be a large object each
/// time.</summary>
internal sealed class JsonBytes : IBufferWriter<byte>, IDisposable
{
    private byte[] _bytes = ArrayPool<byte>.Shared.Rent(16 * 1024);
    private int _length;

    private JsonBytes()
    {
    }

    public ReadOnlyMemory<byte> Memory => _bytes.AsMemory(0, _length);

    public static JsonBytes Of<T>(T body)
    {
        JsonBytes bytes = new();
        using Utf8JsonWriter writer = new(bytes, new() { Encoder = WireJson.Options.Encoder, SkipValidation = true });
        JsonSerializer.Serialize(writer, body, WireJson.Options);
        return bytes;
    }

    public void Advance(int count) => _length += count;

    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        MakeRoom(sizeHint);
        return _bytes.AsMemory(_length);
    }

    public Span<byte> GetSpan(int sizeHint = 0)
    {
        MakeRoom(sizeHint);
        return _bytes.AsSpan(_length);
    }

    public void Dispose()
    {
        ArrayPool<byte>.Shared.Return(_bytes);
        _bytes = [];
        _length = 0;
    }

    private void MakeRoom(int least)
    {
        least = Math.Max(least, 1);
        if (_bytes.Length - _length >= least)
        {
            return;
        }

        var larger = ArrayPool<byte>.Shared.Rent(Math.Max(2 * _bytes.Length, _length + least));
        _bytes.AsSpan(0, _length).CopyTo(larger);
        ArrayPool<byte>.Shared.Return(_bytes);
        _bytes = larger;
    }
}
