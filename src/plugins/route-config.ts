declare module 'fastify' {
  interface FastifyContextConfig {
    /** Answers whatever the load: neither counted against a client nor turned away when the service is busy. */
    unlimited?: boolean
  }
}

export {}
