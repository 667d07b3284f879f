using System.Net;
using System.Net.Sockets;
using System.Text;

namespace AgeWatch.Benchmarks.Served;

/// <summary>A mail server that takes everything as fast as it can; in a process of its own, so that it costs neither
/// side.</summary>
internal static class QuickSink
{
    public static async Task RunAsync()
    {
        TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        Console.WriteLine(((IPEndPoint)listener.LocalEndpoint).Port);
        while (true)
        {
            var client = await listener.AcceptTcpClientAsync();
            _ = Task.Factory.StartNew(() => Talk(client), TaskCreationOptions.LongRunning);
        }
    }

    private static void Talk(TcpClient client)
    {
        using (client)
        {
            client.NoDelay = true;
            using var stream = client.GetStream();
            using StreamReader reader = new(stream, Encoding.Latin1, false, 65536);
            void Say(string reply) => stream.Write(Encoding.ASCII.GetBytes(reply + "\r\n"));
            try
            {
                Say("220 sink");
                while (reader.ReadLine() is { } line)
                {
                    switch (line.Split(' ', ':')[0].ToUpperInvariant())
                    {
                        case "EHLO":
                            Say("250-sink\r\n250-ENHANCEDSTATUSCODES\r\n250 8BITMIME");
                            break;
                        case "DATA":
                            Say("354 go on");
                            while (reader.ReadLine() is { } data && data != ".")
                            {
                            }

                            Say("250 2.0.0 taken");
                            break;
                        case "QUIT":
                            Say("221 bye");
                            return;
                        default:
                            Say("250 2.0.0 ok");
                            break;
                    }
                }
            }
            catch (IOException)
            {
                return;
            }
        }
    }
}
