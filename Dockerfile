# The base image is an argument so that a local stand-in, a mirror or a pinned digest can take its place.
ARG NODE_IMAGE=node:24-bookworm-slim

FROM ${NODE_IMAGE} AS packages
WORKDIR /app
COPY package.json package-lock.json .npmrc ./
RUN npm ci --omit=dev

FROM ${NODE_IMAGE} AS build
WORKDIR /app
COPY package.json package-lock.json .npmrc ./
RUN npm ci
COPY tsconfig.json tsconfig.build.json ./
COPY src ./src
RUN npm run build

FROM ${NODE_IMAGE}
ENV NODE_ENV=production HOST=0.0.0.0 PORT=8080
WORKDIR /app
COPY --from=packages /app/node_modules ./node_modules
COPY --from=build /app/dist ./dist
# The mode is set because a checkout's may keep the image's user from reading.
COPY --chmod=644 package.json docker/health-check.mjs ./
USER 1000:1000
EXPOSE 8080
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=30s --timeout=5s --start-period=10s --retries=3 CMD ["node", "health-check.mjs"]
# Exec form, so that SIGTERM reaches the server itself: a shell or npm in between would lose the requests in flight.
CMD ["node", "dist/server.js"]
