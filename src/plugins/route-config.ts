declare module 'fastify' {
  interface FastifyContextConfig {
    /** Answers whatever the load: neither counted against a client nor turned away when the service is busy. */
    unlimited?: boolean
    /** Reads its body itself, and itself tells a client that asks first to go on. */
    streams?: boolean
  }
}

export {}
