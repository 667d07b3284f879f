using System.Buffers.Binary;
using System.Security.Cryptography;

namespace AgeWatch.Server.Mail;

/// <summary>
/// The name of one version of one message (RFC 5322 3.6.4): the same at every try, another for a corrected revision,
/// and telling nobody who it is for.
/// </summary>
internal static class MessageIds
{
    private const string Base32 = "abcdefghijklmnopqrstuvwxyz234567";

    /// <param name="seal">A server secret of at least 32 bytes.</param>
    /// <param name="kind">Digest kind, as stored.</param>
    /// <param name="domain">The domain of the From address.</param>
    /// <returns>The id without angle brackets.</returns>
    public static string Make(
        ReadOnlySpan<byte> seal, Guid clubId, Guid recipientId, string kind, DateOnly localDate, int revision,
        string domain)
    {
        // Fixed-length members first, the only free one last: no two sets of values give the same bytes.
        var kindBytes = System.Text.Encoding.UTF8.GetBytes(kind);
        var named = new byte[16 + 16 + 4 + 4 + kindBytes.Length];
        clubId.TryWriteBytes(named, bigEndian: true, out _);
        recipientId.TryWriteBytes(named.AsSpan(16), bigEndian: true, out _);
        BinaryPrimitives.WriteInt32BigEndian(named.AsSpan(32), localDate.DayNumber);
        BinaryPrimitives.WriteInt32BigEndian(named.AsSpan(36), revision);
        kindBytes.CopyTo(named.AsSpan(40));

        Span<byte> code = stackalloc byte[HMACSHA256.HashSizeInBytes];
        HMACSHA256.HashData(seal, named, code);
        return $"d1.{Encode(code[..20])}@{domain}";
    }

    /// <summary>RFC 4648 base32 in lower case, without padding.</summary>
    private static string Encode(ReadOnlySpan<byte> bytes)
    {
        Span<char> text = stackalloc char[bytes.Length * 8 / 5];
        for (var i = 0; i < text.Length; i++)
        {
            var bit = i * 5;
            var pair = bytes[bit / 8] << 8 | (bit / 8 + 1 < bytes.Length ? bytes[bit / 8 + 1] : 0);
            text[i] = Base32[pair >> (11 - bit % 8) & 31];
        }

        return new string(text);
    }
}
