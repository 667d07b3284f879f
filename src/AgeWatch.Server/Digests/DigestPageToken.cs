using System.Buffers;
using System.Buffers.Text;
using System.Security.Cryptography;

namespace AgeWatch.Server.Digests;

/// <summary>
/// What a link in a digest opens: one vehicle, or the list of which the digest speaks. It is signed and not stored, so
/// that it can be decided while the digest is rendered and nothing needs to be cleared away afterwards.
/// </summary>
/// <param name="VehicleId">Null: the list.</param>
internal sealed record DigestPageToken(Guid ClubId, Guid DigestId, Guid? VehicleId)
{
    private const int GuidLength = 16;
    private const int SealLength = 16;
    private const int Length = 3 * GuidLength + SealLength;

    // Parts this use of the secret from any other that it may be put to.
    private static ReadOnlySpan<byte> Purpose => "look.1"u8;

    /// <returns>86 characters that can stand in a path.</returns>
    public string Write(ReadOnlySpan<byte> secret)
    {
        Span<byte> bytes = stackalloc byte[Length];
        ClubId.TryWriteBytes(bytes, bigEndian: true, out _);
        DigestId.TryWriteBytes(bytes[GuidLength..], bigEndian: true, out _);
        (VehicleId ?? Guid.Empty).TryWriteBytes(bytes[(2 * GuidLength)..], bigEndian: true, out _);
        Seal(secret, bytes[..^SealLength], bytes[^SealLength..]);
        return Base64Url.EncodeToString(bytes);
    }

    /// <summary>Null for anything that this server has not written to the last bit.</summary>
    public static DigestPageToken? Read(string text, ReadOnlySpan<byte> secret)
    {
        Span<byte> bytes = stackalloc byte[Length];
        if (text.Length != Base64Url.GetEncodedLength(Length)
            || Base64Url.DecodeFromChars(text, bytes, out _, out var read) != OperationStatus.Done || read != Length)
        {
            return null;
        }

        Span<byte> seal = stackalloc byte[SealLength];
        Seal(secret, bytes[..^SealLength], seal);

        // The last character has bits to spare, so one token could be written in several ways.
        if (!CryptographicOperations.FixedTimeEquals(seal, bytes[^SealLength..])
            || Base64Url.EncodeToString(bytes) != text)
        {
            return null;
        }

        Guid vehicle = new(bytes.Slice(2 * GuidLength, GuidLength), bigEndian: true);
        return new(
            new(bytes[..GuidLength], bigEndian: true), new(bytes.Slice(GuidLength, GuidLength), bigEndian: true),
            vehicle == Guid.Empty
            ? null
            : vehicle);
    }

    /// <summary>128 of the bits of HMAC-SHA-256: nobody guesses them, however often they may try.</summary>
    private static void Seal(ReadOnlySpan<byte> secret, ReadOnlySpan<byte> content, Span<byte> seal)
    {
        Span<byte> sealedText = stackalloc byte[Purpose.Length + 3 * GuidLength];
        Purpose.CopyTo(sealedText);
        content.CopyTo(sealedText[Purpose.Length..]);
        Span<byte> hash = stackalloc byte[HMACSHA256.HashSizeInBytes];
        HMACSHA256.HashData(secret, sealedText, hash);
        hash[..seal.Length].CopyTo(seal);
    }
}
