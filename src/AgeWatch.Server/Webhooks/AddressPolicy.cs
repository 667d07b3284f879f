using System.Net;
using System.Net.Sockets;

namespace AgeWatch.Server.Webhooks;

/// <summary>Which network addresses a webhook may reach. Asked at connect time, after the name is resolved.</summary>
/// <param name="operatorAllows">Private networks that the operator, never an API caller, has opened.</param>
internal sealed class AddressPolicy(IReadOnlyList<IPNetwork> operatorAllows)
{
    // OWASP SSRF prevention sheet and the IANA special-purpose registries it names (the registries from memory).
    private static readonly IPNetwork[] BlockedV4 = Networks(
        "0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24",
        "192.0.2.0/24", "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24",
        "224.0.0.0/4", "240.0.0.0/4");

    // Only global unicast is open at all; within it these wrap other addresses or lead nowhere.
    private static readonly IPNetwork GlobalV6 = IPNetwork.Parse("2000::/3");
    private static readonly IPNetwork[] BlockedV6 = Networks("2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20");

    // Addresses at which hosting providers hand out credentials: closed even to an operator's wide range (from memory).
    private static readonly IPAddress[] Metadata =
    [
        IPAddress.Parse("169.254.169.254"), IPAddress.Parse("169.254.170.2"), IPAddress.Parse("100.100.100.200"),
        IPAddress.Parse("192.0.0.192"), IPAddress.Parse("168.63.129.16"), IPAddress.Parse("fd00:ec2::254"),
    ];

    public bool HasOpenedAny => operatorAllows.Count > 0;

    public bool Allows(IPAddress address)
    {
        var plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        return !Metadata.Contains(plain) && (IsOpenedByOperator(plain) || IsPublic(plain));
    }

    /// <summary>Inside such a network plain http and any port are the operator's own affair.</summary>
    public bool IsOpenedByOperator(IPAddress address)
    {
        var plain = address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address;
        return !Metadata.Contains(plain) && operatorAllows.Any(network => network.Contains(plain));
    }

    private static bool IsPublic(IPAddress address) => address.AddressFamily switch
    {
        AddressFamily.InterNetwork => !BlockedV4.Any(network => network.Contains(address)),
        AddressFamily.InterNetworkV6 =>
            GlobalV6.Contains(address) && !BlockedV6.Any(network => network.Contains(address)),
        _ => false,
    };

    private static IPNetwork[] Networks(params string[] networks) => [.. networks.Select(IPNetwork.Parse)];
}
